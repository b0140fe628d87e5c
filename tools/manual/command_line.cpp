#include "tools/manual/command_line.h"

#include <CLI/CLI.hpp>

#include "session/sixfold.h"
#include "tools/help.h"
#include "tools/manual/completions.h"
#include "tools/manual/man_page.h"
#include "tools/terminal.h"

namespace sixfold::tools {
namespace {

OptionText text_of(const CLI::Option& option) {
  OptionText text;
  text.is_positional = option.get_positional();
  if (text.is_positional) text.names.push_back(option.get_single_name());
  for (const std::string& name : option.get_snames()) text.names.push_back("-" + name);
  for (const std::string& name : option.get_lnames()) text.names.push_back("--" + name);
  if (option.get_items_expected() > 0) text.value = option.get_type_name();
  text.help = option.get_description();
  text.is_required = option.get_required();
  text.is_repeated = option.get_items_expected_max() > 1;
  text.is_for_checks = option.get_group().empty();
  return text;
}

/// Hidden commands are left out.
CommandText text_of(const CLI::App& command, const std::string& above) {
  CommandText text{above + command.get_name(), command.get_description(), {}, {}, {}};
  text.examples = examples_of(command.get_name());
  for (const CLI::Option* option : command.get_options()) text.options.push_back(text_of(*option));
  for (const CLI::App* each : command.get_subcommands([](const CLI::App*) { return true; })) {
    if (!each->get_group().empty()) text.commands.push_back(text_of(*each, text.name + " "));
  }
  return text;
}

}  // namespace

void define_manual(CLI::App& app, std::string& form, std::function<int()>& run) {
  CLI::App* const command =
      app.add_subcommand("write-manual", "The manual, or completion in shells");
  command->group("");
  command->add_option("form", form, "man, bash, zsh or fish")
      ->required()
      ->check(CLI::IsMember({"man", "bash", "zsh", "fish"}));
  command->callback([&app, &form, &run] {
    run = [&app, &form] {
      const CommandText program = text_of(app, "");
      if (form == "man") print(man_page(program, Engine::version()));
      if (form == "bash") print(bash_completion(program));
      if (form == "zsh") print(zsh_completion(program));
      if (form == "fish") print(fish_completion(program));
      return kDone;
    };
  });
}

}  // namespace sixfold::tools
