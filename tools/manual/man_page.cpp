#include "tools/manual/man_page.h"

#include <algorithm>

#include "report/text/layout.h"

namespace sixfold::tools {
namespace {

/// What every reader of the page needs beside the options. Blank lines part paragraphs.
constexpr const char* kDescription =
    R"(Sixfold plays every legal play of a backgammon roll out thousands of times and tells which is
right, by how much, and why: for each play the chances of all six outcomes, its equity and what it
costs, with confidence intervals, at one score or several.

Results are repeatable: the same question with the same seed gives the same answer, whatever the
number of threads. The program fetches nothing from a network and sends nothing.

Where Open MPI is, sixfold-mpi does the work of "rollout" and "queue run" by many processes, with
the same options: "mpirun -n 4 sixfold-mpi queue run --db night.db".)";

constexpr const char* kPositions =
    R"text(A position is written ROLLER / OPPONENT, each side's points numbered from its own home
board: "24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5" is the start. "bar" is a checker on the bar; what is
not listed is borne off. Plays are in standard notation: "13/8 24/23", "8/5*/4", "bar/22*",
"6/off(2)".

A score is "money", "dmp" (only winning counts), "gammon-go" (a gammon wins the match, in the
Crawford game), "gammon-save" (the same seen from the other side), or points still to go, the side
on roll first: "3-away/5-away", "2-away/1-away crawford", "4-away/1-away post-crawford".

A request is a JSON object on a line of its own. Its fields are named as the options are; what it
leaves out is as the options say, and "id" comes back in the answer:)text";

constexpr const char* kRequest =
    R"({"id": 1, "after": "31: 8/5 6/5", "dice": "64", "score": "dmp"})";

struct Term {
  const char* name;
  const char* text;
};

constexpr Term kExitCodes[] = {
    {"0", "Done."},
    {"1",
     "Bad input: a position, play, score or file is wrong, or one request of several. Standard "
     "error says what and where."},
    {"2", "Wrong use: an option that is unknown, missing or out of its range."},
    {"3", "Internal error."},
    {"130", "Interrupted by Ctrl-C; \"train\" has saved its state. A second Ctrl-C ends at once."},
};

constexpr Term kEnvironment[] = {
    {"XDG_CACHE_HOME",
     "Computed tables are kept in its folder \"sixfold\", unless --cache says "
     "where. Only an absolute path counts."},
    {"HOME", "Where XDG_CACHE_HOME is not set, they are in \".cache/sixfold\" below it."},
    {"NO_COLOR", "Reports on a terminal are plain."},
};

constexpr Term kFiles[] = {
    {"../share/sixfold/standard.safetensors",
     "The shipped network, seen from the folder of the program."},
    {"~/.cache/sixfold", "Tables, computed when they are first needed. They may be deleted."},
    {"../share/doc/sixfold/examples", "Lesson files and requests to try."},
    {"FILE.checkpoint", "Of \"train --out FILE\": its state, from which --resume goes on."},
};

/// Text as the formatter of pages takes it; lines of the source are kept short, as is usual.
std::string escaped(const std::string& text) {
  std::string out;
  bool begins_line = true;
  for (const char c : text) {
    if (begins_line && (c == '.' || c == '\'')) out += "\\&";
    begins_line = c == '\n';
    switch (c) {
      case '\\':
        out += "\\e";
        break;
      case '-':
        out += "\\-";
        break;
      case '~':
        out += "\\(ti";
        break;
      case '^':
        out += "\\(ha";
        break;
      case '`':
        out += "\\(ga";
        break;
      case '\'':
        out += "\\(aq";
        break;
      default:
        out += c;
    }
  }
  return out;
}

std::string prose(const std::string& text) {
  constexpr std::size_t kSourceColumns = 72;
  return escaped(broken(text, kSourceColumns)) + "\n";
}

std::string paragraphs(const std::string& text) {
  std::string out;
  for (std::size_t begin = 0; begin < text.size();) {
    const std::size_t end = std::min(text.find("\n\n", begin), text.size());
    std::string paragraph = text.substr(begin, end - begin);
    std::replace(paragraph.begin(), paragraph.end(), '\n', ' ');
    out += (begin == 0 ? "" : ".PP\n") + prose(paragraph);
    begin = end + 2;
  }
  return out;
}

std::string bold(const std::string& text) { return "\\fB" + escaped(text) + "\\fR"; }
std::string italic(const std::string& text) { return "\\fI" + escaped(text) + "\\fR"; }

std::string term(const std::string& head, const std::string& text) {
  return ".TP\n" + head + "\n" + prose(text);
}

/// Lines as they are.
std::string verbatim(const std::string& lines) { return ".PP\n.EX\n" + escaped(lines) + "\n.EE\n"; }

std::string section(const std::string& title) { return ".SH " + title + "\n"; }

template <std::size_t count>
std::string terms(const char* title, const Term (&list)[count]) {
  std::string text = section(title);
  for (const Term& each : list) text += term(bold(each.name), each.text);
  return text;
}

std::string value_of(const OptionText& option) {
  if (option.is_positional) return italic(option.names.front());
  return option.value.empty() ? "" : " " + italic(option.value);
}

/// "--out FILE (required)".
std::string head_of(const OptionText& option) {
  std::string head;
  if (!option.is_positional) {
    for (const std::string& name : option.names) head += (head.empty() ? "" : ", ") + bold(name);
  }
  return head + value_of(option) + (option.is_repeated ? " ..." : "") +
         (option.is_required ? " (required)" : "");
}

/// Every command has that option, so it is told once.
CommandText without_help(CommandText command) {
  std::erase_if(command.options, [](const OptionText& option) {
    return std::ranges::count(option.names, "--help") > 0;
  });
  for (CommandText& each : command.commands) each = without_help(each);
  return command;
}

/// "sixfold duel [OPTION ...] first second".
std::string synopsis_of(const CommandText& command) {
  std::string must;
  std::string may;
  std::string places;
  for (const OptionText& option : command.options) {
    const std::string more = option.is_repeated ? " ..." : "";
    if (option.is_positional) {
      const std::string place = value_of(option) + more;
      places += option.is_required ? " " + place : " [" + place + "]";
    } else if (option.is_required) {
      must += " " + bold(option.names.front()) + value_of(option);
    } else {
      may = " [" + italic("OPTION") + " ...]";
    }
  }
  return bold(command.name) + must + may + places + "\n";
}

std::string options_of(const CommandText& command) {
  std::string text;
  std::string for_checks;
  for (const OptionText& option : command.options) {
    (option.is_for_checks ? for_checks : text) += term(head_of(option), option.help + ".");
  }
  if (!for_checks.empty()) text += ".PP\nFor checks:\n" + for_checks;
  return text;
}

/// Commands of their own come after it.
std::string told(const CommandText& command) {
  std::string text = ".SS " + escaped(command.name) + "\n" + prose(command.help + ".");
  text += options_of(command);
  if (!command.examples.empty()) {
    std::string lines = command.examples;  // Indented below a title.
    while (lines.find("\n ") != std::string::npos) lines.erase(lines.find("\n ") + 1, 1);
    const std::size_t title = lines.find('\n');
    text += ".PP\n" + escaped(lines.substr(0, title)) + "\n" + verbatim(lines.substr(title + 1));
  }
  for (const CommandText& each : command.commands) text += told(each);
  return text;
}

}  // namespace

std::string man_page(const CommandText& program, std::string_view version) {
  std::vector<const CommandText*> leaves;
  collect_leaves(program, leaves);
  // Without a date, so that the same sources make the same page; words to be typed stay whole.
  std::string text = format(
      ".\\\" Made by {} write-manual man.\n.TH SIXFOLD 1 \"\" \"{} {}\"\n.nh\n.nr HY 0\n.ad l\n",
      program.name, program.name, version);
  // The program's own help begins with its name.
  const std::string title = program.help.substr(program.help.find(": ") + 2);
  text += section("NAME") + program.name + " \\- " + escaped(title) + "\n" + section("SYNOPSIS");
  text += bold(program.name) + " " + italic("COMMAND") + " [" + italic("OPTION") + " ...]\n";
  for (const CommandText* leaf : leaves) text += ".br\n" + synopsis_of(without_help(*leaf));
  text += section("DESCRIPTION") + paragraphs(kDescription);
  text += section("\"POSITIONS, SCORES, REQUESTS\"") + paragraphs(kPositions) + verbatim(kRequest);
  text += section("OPTIONS") + options_of(program) + ".PP\nEvery command has " + bold("--help") +
          " too.\n" + section("COMMANDS");
  for (const CommandText& command : program.commands) text += told(without_help(command));
  text += terms("\"EXIT STATUS\"", kExitCodes);
  text += terms("ENVIRONMENT", kEnvironment) + terms("FILES", kFiles);
  return text;
}

}  // namespace sixfold::tools
