#include "tools/manual/completions.h"

#include <algorithm>
#include <string_view>
#include <utility>

#include "tools/options.h"

namespace sixfold::tools {
namespace {

/// Values that options of these names take, where they are words.
constexpr std::pair<std::string_view, std::string_view> kOptionWords[] = {
    {"--cube", "centred roller: opponent: none"},
    {"--isa", "scalar avx2 avx512 neon"},
    {"--luck", "net full none"},
    {"--recipe", "quick standard full refine"},
    {"--score", "money dmp gammon-go gammon-save"},
};

/// What may follow an option, or stand at a place.
enum class Wanted { kNothing, kFile, kFolder, kWords };

struct Value {
  Wanted wanted = Wanted::kNothing;
  std::string words{};
};

std::string joined(const std::vector<std::string>& words, const std::string& between) {
  std::string text;
  for (const std::string& word : words) text += (text.empty() ? "" : between) + word;
  return text;
}

/// What help lists.
std::vector<OptionText> shown(const CommandText& command) {
  std::vector<OptionText> options = command.options;
  std::erase_if(options, [](const OptionText& option) { return option.is_for_checks; });
  return options;
}

std::string command_words(const CommandText& program) {
  std::vector<std::string> words;
  for (const CommandText& each : program.commands) words.push_back(each.word());
  return joined(words, " ");
}

Value value_of(const CommandText& program, const OptionText& option) {
  if (option.value == kFile) return {Wanted::kFile};
  if (option.value == kFolder) return {Wanted::kFolder};
  if (option.names.front() == "command") return {Wanted::kWords, command_words(program)};
  for (const auto& [name, words] : kOptionWords) {
    if (option.names.front() == name) return {Wanted::kWords, std::string(words)};
  }
  return {};
}

/// In single quotes, for bash and zsh.
std::string in_quotes(const std::string& text) {
  std::string out = "'";
  for (const char c : text) out += c == '\'' ? std::string("'\\''") : std::string(1, c);
  return out + "'";
}

/// The same with a backslash before each of `special`.
std::string escaped(const std::string& text, std::string_view special) {
  std::string out;
  for (const char c : text) {
    if (special.find(c) != std::string_view::npos) out += '\\';
    out += c;
  }
  return out;
}

/// The name of a command without the program's: "queue add".
std::string words_after(const CommandText& program, const CommandText& command) {
  return command.name == program.name ? "" : command.name.substr(program.name.size() + 1);
}

std::string heading(const CommandText& program, const char* shell) {
  return "# Completion in " + std::string(shell) + ", made by `" + program.name + " write-manual " +
         shell + "`.\n";
}

// Bash.

constexpr const char* kBashBegin = R"(_sixfold() {
  local current=${COMP_WORDS[COMP_CWORD]} previous=${COMP_WORDS[COMP_CWORD - 1]}
  # Bash parts --net=FILE into three words.
  if [[ $current == = ]]; then
    current=
  elif [[ $previous == = ]]; then
    previous=${COMP_WORDS[COMP_CWORD - 2]}
  fi
  local command= words= wanted=words
  ((COMP_CWORD > 1)) && command=${COMP_WORDS[1]}
  [[ $command == queue ]] && ((COMP_CWORD > 2)) && command+=" ${COMP_WORDS[2]}"
  case $command in
)";

constexpr const char* kBashEnd = R"(  esac
  COMPREPLY=()
  case $wanted in
    file)
      compopt -o filenames 2>/dev/null
      mapfile -t COMPREPLY < <(compgen -f -- "$current")
      ;;
    folder)
      compopt -o filenames 2>/dev/null
      mapfile -t COMPREPLY < <(compgen -d -- "$current")
      ;;
    words) mapfile -t COMPREPLY < <(compgen -W "$words" -- "$current") ;;
  esac
}
complete -F _sixfold sixfold
)";

std::string bash_value(const Value& value) {
  switch (value.wanted) {
    case Wanted::kNothing:
      return "wanted=nothing";
    case Wanted::kFile:
      return "wanted=file";
    case Wanted::kFolder:
      return "wanted=folder";
    case Wanted::kWords:
      return "words=" + in_quotes(value.words);
  }
  return "";
}

std::string bash_case(const CommandText& program, const CommandText& command) {
  std::string names = command_words(command);
  std::string cases;
  std::string at_a_place;
  for (const OptionText& option : shown(command)) {
    const std::string value = bash_value(value_of(program, option));
    if (option.is_positional) {
      at_a_place = value;
      continue;
    }
    names += (names.empty() ? "" : " ") + joined(option.names, " ");
    if (option.value.empty()) continue;
    cases += "        " + joined(option.names, " | ") + ") " + value + " ;;\n";
  }
  if (!at_a_place.empty()) cases += "        *) [[ $current == -* ]] || " + at_a_place + " ;;\n";
  std::string text = "    " + in_quotes(words_after(program, command)) + ")\n";
  text += "      words=" + in_quotes(names) + "\n";
  if (!cases.empty()) text += "      case $previous in\n" + cases + "      esac\n";
  text += "      ;;\n";
  for (const CommandText& each : command.commands) text += bash_case(program, each);
  return text;
}

// Zsh.

std::string zsh_value(const Value& value) {
  switch (value.wanted) {
    case Wanted::kNothing:
      return " ";
    case Wanted::kFile:
      return "_files";
    case Wanted::kFolder:
      return "_files -/";
    case Wanted::kWords:
      return "(" + escaped(value.words, ":") + ")";
  }
  return "";
}

/// Options and places, as _arguments takes them.
std::string zsh_arguments(const CommandText& program, const CommandText& command) {
  std::string text = "  _arguments";
  for (const OptionText& option : shown(command)) {
    const std::string value = zsh_value(value_of(program, option));
    const std::string again = option.is_repeated ? "*" : "";
    if (option.is_positional) {
      text += " \\\n    " + in_quotes(again + ":" + option.names.front() + ":" + value);
      continue;
    }
    for (const std::string& name : option.names) {
      const std::string help = "[" + escaped(option.help, "[]\\") + "]";
      text += " \\\n    " + (option.value.empty() ? in_quotes(name + help)
                                                  : in_quotes(again + name + "=" + help + ":" +
                                                              option.value + ":" + value));
    }
  }
  return text + "\n";
}

std::string zsh_function(const CommandText& program, const CommandText& command) {
  std::string name = command.name;
  std::replace(name.begin(), name.end(), ' ', '_');
  std::string text = "_" + name + "() {\n";
  if (command.commands.empty()) return text + zsh_arguments(program, command) + "}\n";
  text +=
      "  if ((CURRENT > 2)); then\n    local command=$words[2]\n    shift words\n"
      "    ((CURRENT--))\n    (($+functions[_" +
      name + "_$command])) && _" + name + "_$command\n    return\n  fi\n  local -a commands=(\n";
  for (const CommandText& each : command.commands) {
    text += "    " + in_quotes(each.word() + ":" + each.help) + "\n";
  }
  text += "  )\n  _describe -t commands command commands\n";
  text += zsh_arguments(program, command) + "}\n";
  for (const CommandText& each : command.commands) text += zsh_function(program, each);
  return text;
}

constexpr const char* kZshEnd = R"(if [[ $funcstack[1] == _sixfold ]]; then
  _sixfold "$@"
else
  compdef _sixfold sixfold
fi
)";

// Fish.

constexpr const char* kFishBegin =
    R"(# What was typed before the word in question; whether it is this command, alone or with more.
function __sixfold_typed
    set -l words (commandline -opc)
    echo "$words[2..] "
end
function __sixfold_is
    string match -q -- "$argv *" (__sixfold_typed)
end
function __sixfold_ends
    test (__sixfold_typed) = "$argv "
end
complete -c sixfold -f
)";

std::string fish_quotes(const std::string& text) { return "'" + escaped(text, "'\\") + "'"; }

std::string fish_value(const Value& value) {
  switch (value.wanted) {
    case Wanted::kNothing:
      return " -x";
    case Wanted::kFile:
      return " -r -F";
    case Wanted::kFolder:
      return " -x -a '(__fish_complete_directories)'";
    case Wanted::kWords:
      return " -x -a " + fish_quotes(value.words);
  }
  return "";
}

std::string fish_lines(const CommandText& program, const CommandText& command) {
  const std::string words = words_after(program, command);
  const std::string after = words.empty() ? "" : " " + words;
  const auto line = [](const std::string& condition) {
    return "complete -c sixfold -n " + fish_quotes(condition);
  };
  std::string text;
  for (const CommandText& each : command.commands) {
    text += line("__sixfold_ends" + after) + " -a " + each.word() + " -d " +
            fish_quotes(each.help) + "\n";
  }
  // The program's own options are not those of its commands.
  const std::string within = (words.empty() ? "__sixfold_ends" : "__sixfold_is") + after;
  for (const OptionText& option : shown(command)) {
    text += line(within);
    const std::string value = fish_value(value_of(program, option));
    if (option.is_positional) {
      text += value.substr(0, 3) == " -x" ? value.substr(3) : " -F";
      text += "\n";
      continue;
    }
    for (const std::string& name : option.names) {
      text += name.starts_with("--") ? " -l " + name.substr(2) : " -s " + name.substr(1);
    }
    text += (option.value.empty() ? "" : value) + " -d " + fish_quotes(option.help) + "\n";
  }
  for (const CommandText& each : command.commands) text += fish_lines(program, each);
  return text;
}

}  // namespace

std::string bash_completion(const CommandText& program) {
  return heading(program, "bash") + kBashBegin + bash_case(program, program) + kBashEnd;
}

std::string zsh_completion(const CommandText& program) {
  return "#compdef sixfold\n" + heading(program, "zsh") + zsh_function(program, program) + kZshEnd;
}

std::string fish_completion(const CommandText& program) {
  return heading(program, "fish") + kFishBegin + fish_lines(program, program);
}

}  // namespace sixfold::tools
