#!/usr/bin/env python3
"""Lesson sheets and pages of matches as a browser shows and prints them.

Run as: sheet_test.py <sixfold> <nets directory> <directory of lessons> [<directory for pictures>]

Makes a sheet and a quiz of each lesson, with few trials, and a page of the demo's match, and of each
kind one that is awkward on purpose, and looks at them in Chromium. SIXFOLD_TEST_CACHE may name a directory for computed tables that is kept.
With a directory for pictures, screenshots and the A4 PDF of each page are left there. Exits with 77
if a program is missing that the tests need.
"""

import json
import pathlib
import sys
import tempfile
import unittest

sys.dont_write_bytecode = True  # the source tree stays clean

import in_page
import lessons
import matches
import printed
from chromium import ENTER, TAB, Chromium, run_tests

WIDTHS = (360, 390, 768, 1280)
A4_PAGES = 5  # of the demo lesson, with its folds closed


class PageTest(unittest.TestCase):
    """Checks for every page; a class of its own is derived for each lesson and form, and match."""

    lesson = name = form = None  # set by test_class()
    breaks_well = True  # Whether words are broken so that none is left alone.
    tool = nets = pictures = None  # set by suite_of()

    @classmethod
    def setUpClass(cls):
        directory = tempfile.TemporaryDirectory(prefix="sixfold_browser_",
                                                ignore_cleanup_errors=True)
        cls.addClassCleanup(directory.cleanup)
        cls.scratch = pathlib.Path(directory.name)
        cls.page = cls.made_page()
        cls.browser = Chromium(cls.scratch / "profile")
        cls.addClassCleanup(cls.browser.close)
        if cls.pictures:
            cls.leave_pictures()

    @classmethod
    def made_page(cls):
        return lessons.make_page(cls.tool, cls.nets, cls.lesson, cls.name, cls.form, cls.scratch)

    @classmethod
    def leave_pictures(cls):
        stem = f"{cls.name}_{cls.form}"
        cls.browser.media()
        for width in WIDTHS:
            cls.browser.width(width)
            cls.browser.open(cls.page.html)
            cls.browser.save_picture(cls.pictures / f"{stem}_{width}.png")
            cls.browser.run(in_page.OPEN_ANSWERS)
            cls.browser.save_picture(cls.pictures / f"{stem}_{width}_open.png")
        cls.browser.media(scheme="dark")
        cls.browser.save_picture(cls.pictures / f"{stem}_{width}_dark.png")
        cls.browser.media()
        cls.browser.open(cls.page.html)
        cls.browser.save_pdf(cls.pictures / f"{stem}.pdf")
        cls.browser.run(in_page.PRINT_ALL)
        cls.browser.save_pdf(cls.pictures / f"{stem}_all.pdf")

    def setUp(self):
        self.browser.media()
        self.browser.width(1280)
        self.browser.open(self.page.html)

    def has(self, selector):
        return self.browser.run("return document.querySelector(arguments[0]) !== null;", selector)

    def expect_none(self, amiss, at=""):
        if amiss:
            more = [f"and {len(amiss) - 5} more"] if len(amiss) > 5 else []
            lines = "".join(f"\n  {line}" for line in amiss[:5] + more)
            self.fail(f"{self.page.name}{at and ' ' + at}:{lines}")

    def test_stays_silent_and_within_its_file(self):
        self.browser.console()
        self.browser.requests()
        self.browser.open(self.page.html)
        self.browser.run(in_page.OPEN_ANSWERS)
        for width in WIDTHS:
            self.browser.width(width)
        self.browser.media(scheme="dark")
        self.browser.run("window.scrollTo(0, document.documentElement.scrollHeight);")
        self.browser.media()
        self.browser.save_pdf(self.scratch / "silent.pdf")
        self.expect_none(self.browser.console(), "on the console")
        own = self.page.html.resolve().as_uri()
        requests = self.browser.requests()
        self.assertIn(own, requests, "the log of requests does not work")
        self.expect_none([url for url in requests if url != own and not url.startswith("data:")],
                         "asks for")

    def test_fits_every_width(self):
        for width in WIDTHS:
            with self.subTest(width=width):
                self.browser.width(width)
                self.browser.open(self.page.html)
                self.expect_none(self.browser.run(in_page.OVERFLOW, width), f"at {width} px")
                self.browser.run(in_page.OPEN_ANSWERS)
                at = f"at {width} px, answers open"
                self.expect_none(self.browser.run(in_page.OVERFLOW, width), at)
                self.expect_none(self.browser.run(in_page.PICTURE_TEXT), at)
                if self.breaks_well:
                    self.expect_none(self.browser.run(in_page.LEFT_ALONE), at)

    def test_prints_blocks_in_one_piece(self):
        for folds in ("closed", "printed"):
            with self.subTest(folds=folds):
                plain, marked = self.scratch / "plain.pdf", self.scratch / "marked.pdf"
                self.browser.open(self.page.html)
                if folds == "printed":
                    self.browser.run(in_page.PRINT_ALL)
                self.browser.save_pdf(plain)
                amiss, kept, _ = printed.marked_blocks(self.browser, marked)
                self.expect_none(amiss, f"on A4, folds {folds}")
                self.assertGreater(kept, 0, f"{self.page.name}: nothing of class keep")
                self.assertEqual(len(printed.texts_of_pages(plain)),
                                 len(printed.texts_of_pages(marked)),
                                 "the marks changed the pages")

    def test_prints_of_its_folds_what_is_open_or_asked_for(self):
        pdf = self.scratch / "folds.pdf"
        everything = self.browser.run("return document.querySelectorAll("
                                      "'details > :not(summary)').length;")
        self.assertEqual(printed.marked_blocks(self.browser, pdf)[2], 0, "closed folds")
        self.browser.open(self.page.html)
        first = self.browser.run("const d = document.querySelector('details'); d.open = true;"
                                 "return [...d.children].filter("
                                 "child => !child.matches('summary, details')).length;")
        self.assertEqual(printed.marked_blocks(self.browser, pdf)[2], first, "one is open")
        self.browser.open(self.page.html)
        self.browser.run(in_page.PRINT_ALL)
        amiss, _, parts = printed.marked_blocks(self.browser, pdf)
        self.expect_none(amiss, "all are asked for")
        self.assertEqual(parts, everything, "all are asked for")

    def checked_numbers(self):
        """The numbers of the page, each of which is checked."""
        numbers = self.browser.run(in_page.NUMBERS)
        amiss = [(number, lessons.number_amiss(self.page.numbers, number)) for number in numbers]
        self.expect_none([f"{number['where']} for {number['pointers']}: {why}"
                          for number, why in amiss if why])
        return numbers

    def test_is_well_made(self):
        self.expect_none(self.browser.run(in_page.STRUCTURE))
        for selector in ("svg", ".panel"):
            self.assertTrue(self.has(selector), f"{self.page.name}: no {selector}")

    def test_can_be_read_in_light_and_dark(self):
        for scheme in ("light", "dark"):
            with self.subTest(scheme=scheme):
                self.browser.media(scheme=scheme)
                self.browser.run(in_page.OPEN_ANSWERS)
                amiss = self.browser.run(in_page.CONTRAST, scheme == "dark")
                self.expect_none(amiss, f"in the {scheme} scheme")


class LessonTest(PageTest):
    def test_numbers_are_those_of_the_json(self):
        numbers = self.checked_numbers()
        cells = self.page.numbers["cells"]
        self.assertGreaterEqual(len(numbers), 3 * len(cells), f"{self.page.name}: few numbers")
        pointers = [pointer for number in numbers for pointer in number["pointers"]]
        missing = []
        for number, cell in enumerate(cells):
            wanted = [f"/cells/{number}/plays/0/"]
            if len(cell["plays"]) > 1:
                wanted.append(f"/cells/{number}/plays/1/cost")
            missing += [f"nothing of {start} ({cell['dice']} at {cell['score']})"
                        for start in wanted
                        if not any(pointer.startswith(start) for pointer in pointers)]
        self.expect_none(missing)

    def test_shows_the_authors_words_as_written(self):
        self.browser.run(in_page.OPEN_ANSWERS)
        h1, title, text = self.browser.run("return [document.querySelector('h1').textContent,"
                                           " document.title, document.body.innerText];")
        self.assertIn(self.lesson.get("title", ""), h1, f"{self.page.name}: h1")
        self.assertIn(self.lesson.get("title", ""), title, f"{self.page.name}: title")
        for notes in lessons.notes_of(self.lesson):
            self.assertIn(notes, text, f"{self.page.name}: notes")


class SheetTest(LessonTest):
    def test_answers_each_roll_at_each_score_at_a_glance(self):
        text = self.browser.run("return document.querySelector('table.glance')?.innerText ?? '';")
        cells = self.page.numbers["cells"]
        for cell in cells:
            self.assertIn("Roll " + cell["dice"], text, f"{self.page.name}: table.glance")
            self.assertIn(cell["score"], text, f"{self.page.name}: table.glance")
            self.assertIn(cell["plays"][0]["play"], text, f"{self.page.name}: table.glance")
        choices = [cell for cell in cells if len(cell["plays"]) > 1]
        open_ones = [cell for cell in choices
                     if any(play["verdict"] == "open" and play["cost"].get("half_width") != 0
                            for play in cell["plays"])]
        doubles = [double["settled"] for double in self.page.numbers.get("doubles", [])
                   if "settled" in double]
        open_doubles = [settled for settled in doubles if not all(settled.values())]
        self.assertEqual(text.count("○ open"), len(open_ones) + len(open_doubles),
                         f"{self.page.name}: open")
        self.assertEqual(text.count("● settled"), len(choices) + len(doubles) - len(open_ones) -
                         len(open_doubles), f"{self.page.name}: settled")

    def test_shows_question_board_and_answers_on_the_first_screen(self):
        below = self.browser.run("""
            const amiss = [];
            for (const selector of ['.question', '.main-board svg', '.glance tr:nth-child(2)']) {
              const box = document.querySelector(selector).getBoundingClientRect();
              if (box.bottom > 800) amiss.push(selector + ' ends at ' + box.bottom);
            }
            return amiss;""")
        if self.name == "first_choices":
            self.expect_none(below, "at 1280 by 800")

    def test_fits_on_few_pages(self):
        if self.name == "first_choices":
            pdf = self.scratch / "pages.pdf"
            self.browser.save_pdf(pdf)
            self.assertLessEqual(len(printed.texts_of_pages(pdf)), A4_PAGES)


class QuizTest(LessonTest):
    def test_keeps_its_answers_to_itself(self):
        self.assertTrue(self.has("details"), f"{self.page.name}: no details")
        self.expect_none(self.browser.run(in_page.GIVEN_AWAY))

    def test_shows_the_position_before_it_asks(self):
        self.assertTrue(self.browser.run(in_page.PICTURE_FIRST),
                        f"{self.page.name}: no board before the first answer")

    def test_opens_by_keyboard(self):
        for _ in range(30):
            self.browser.press(TAB)
            answer = self.browser.run(in_page.FOCUSED_ANSWER)
            if answer >= 0:
                break
        self.assertEqual(answer, 0, f"{self.page.name}: Tab does not reach the first summary first")
        self.browser.press(ENTER)
        self.expect_none(self.browser.run(in_page.UNSEEN_ANSWER, answer), "after Enter")


class MatchTest(PageTest):
    record = None  # set by match_class()
    options = ()

    @classmethod
    def made_page(cls):
        return matches.make_page(cls.tool, cls.nets, cls.record, cls.name, cls.options, cls.scratch)

    def turns(self):
        return [turn for game in self.page.numbers["games"] for turn in game["turns"]]

    def test_numbers_are_those_of_the_json(self):
        numbers = self.checked_numbers()
        # Cost, luck and value of each turn, but that of forced ones and of the best there is no cost.
        self.assertGreaterEqual(len(numbers), 2 * len(self.turns()), f"{self.page.name}: few")
        pointers = {pointer for number in numbers for pointer in number["pointers"]}
        wanted = [f"/games/{g}/turns/{t}/value" for g, game in enumerate(self.page.numbers["games"])
                  for t in range(len(game["turns"]))]
        self.expect_none([f"nothing of {pointer}" for pointer in wanted if pointer not in pointers])

    def test_marks_lead_to_panels(self):
        for selector in (".course a", "table.dear a"):
            with self.subTest(links=selector):
                amiss, count = self.browser.run(in_page.DEAD_LINKS, selector)
                self.expect_none(amiss)
                self.assertGreater(count, 0, f"{self.page.name}: no {selector}")
        dear = sum(turn["cost"] > 0 for turn in self.turns())
        panels = self.browser.run("return document.querySelectorAll('.decision').length;")
        self.assertEqual(panels, min(dear, 20), f"{self.page.name}: panels")

    def test_shows_who_played(self):
        h1, title = self.browser.run("return [document.querySelector('h1').textContent,"
                                     " document.title];")
        for player in self.page.numbers["players"]:
            self.assertIn(player, h1, f"{self.page.name}: h1")
            self.assertIn(player, title, f"{self.page.name}: title")


class AwkwardTest:
    """Beside the other checks, for pages whose words look like markup."""

    def test_builds_nothing_of_markup_in_words(self):
        built = self.browser.run("return [...document.querySelectorAll('script, blink, h1 b')]"
                                 ".map(e => e.outerHTML.slice(0, 60));")
        self.expect_none(built, "has built elements of its words")


def test_class(name, lesson, form):
    bases = (SheetTest if form == "sheet" else QuizTest,)
    if lesson is lessons.AWKWARD:
        bases = (AwkwardTest, *bases)
    return type(f"{name}_{form}", bases, {"lesson": lesson, "name": name, "form": form})


def match_class(name, record, options=()):
    bases = (AwkwardTest, MatchTest) if record is matches.AWKWARD else (MatchTest,)
    return type(f"match_{name}", bases, {"record": record, "name": name, "form": "match",
                                         "options": options, "breaks_well": len(bases) == 1})


def suite_of(tool, nets, demo, pictures):
    PageTest.tool, PageTest.nets, PageTest.pictures = tool, nets, pictures
    looked_at = {file.stem: json.loads(file.read_text(encoding="utf-8"))
                 for file in lessons.lesson_files(demo)}
    if not looked_at:
        sys.exit(f"no lessons in {demo}")
    looked_at["awkward"] = lessons.AWKWARD
    loader, suite = unittest.TestLoader(), unittest.TestSuite()
    for name, lesson in looked_at.items():
        for form in ("sheet", "quiz"):
            suite.addTest(loader.loadTestsFromTestCase(test_class(name, lesson, form)))
    club = (demo / "club_match.txt").read_text(encoding="utf-8")
    few = ("--depth", "rollout", "--bound", "0.2", "--half-width", "0.2")
    for each in (match_class("club", club), match_class("awkward_match", matches.AWKWARD, few)):
        suite.addTest(loader.loadTestsFromTestCase(each))
    return suite


if __name__ == "__main__":
    sys.exit(run_tests(sys.argv[1:], __doc__, suite_of))
