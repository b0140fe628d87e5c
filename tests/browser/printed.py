"""Where the blocks of a page land on paper.

The page is printed with two marks to each block, tiny words placed at its top and at its bottom
edge, and `pdftotext` says on which page of the PDF each mark is. Unlike comparing heights this
asks the printed pages themselves, with whatever margins and rules for print the page has; unlike
looking for the block's own words it works for pictures and for words that occur twice. A block cut
by a page break has its marks on two pages, one that is not printed has none. The marks are
generated content out of the flow, so nothing moves and no selector of the page sees them.
"""

import re
import subprocess

from in_page import WHERE

# Marks the blocks to be kept and the contents of folds, as far as the printed page shows them;
# returns {where, keep, fold} for each.
_MARK = WHERE + r"""
const style = document.head.appendChild(document.createElement('style'));
style.textContent = `
  [data-mark] { position: relative !important; }
  [data-mark]::before, [data-mark]::after {
    position: absolute !important; left: 0 !important; right: auto !important;
    display: block !important; margin: 0 !important; padding: 0 !important; border: 0 !important;
    width: auto !important; height: 3px !important; font: 3px/1 monospace !important;
    white-space: nowrap !important; color: black !important; transform: none !important;
    letter-spacing: normal !important; text-transform: none !important; float: none !important;
  }
  [data-mark]::before { top: 0 !important; bottom: auto !important;
                        content: 'mark' attr(data-mark) 'first' !important; }
  [data-mark]::after { bottom: 0 !important; top: auto !important;
                       content: 'mark' attr(data-mark) 'last' !important; }`;
const blocks = [];
for (const e of document.querySelectorAll('.keep, details > :not(summary)')) {
  if (e.getClientRects().length === 0 || !e.checkVisibility()) continue;
  e.setAttribute('data-mark', blocks.length);
  blocks.push({where: where(e), keep: e.classList.contains('keep'),
               fold: e.matches('details > :not(summary)')});
}
return blocks;
"""


def marked_blocks(browser, path):
    """Prints the open page to `path`; returns what is amiss, and how many blocks to be kept and how
    many parts of folds there were."""
    browser.media("print")
    blocks = browser.run(_MARK)
    browser.media()
    browser.save_pdf(path)
    pages = {}
    for number, text in enumerate(texts_of_pages(path), 1):
        for mark in re.findall(r"mark(\d+)(first|last)", text):
            pages[mark] = number
    amiss = []
    for number, block in enumerate(blocks):
        first, last = pages.get((str(number), "first")), pages.get((str(number), "last"))
        if first is None or last is None:
            amiss.append(f"{block['where']} is not printed")
        elif block["keep"] and first != last:
            amiss.append(f"{block['where']} is cut: it begins on page {first}, ends on page {last}")
    return (amiss, sum(block["keep"] for block in blocks),
            sum(block["fold"] for block in blocks))


def texts_of_pages(pdf):
    # -raw keeps the order in which text was drawn, so that a mark stays in one piece where it lies
    # over a letter.
    output = subprocess.run(["pdftotext", "-raw", pdf, "-"], check=True, capture_output=True)
    return output.stdout.decode().split("\f")[:-1]
