/// What is answered at once: positions, static values, pictures, recorded matches.
///
/// Bodies are requests of the contract (a line of `--requests`); answers are what the command line
/// prints for them. All throw InputError; `id` is then that of the request, as JSON, as far as it
/// could be read.
#pragma once

#include <string>

#include "session/sixfold.h"

namespace sixfold::tools {

[[nodiscard]] std::string look_at(const Engine& engine, const std::string& body, std::string& id);
/// A line for each score, as `evaluate --requests`.
[[nodiscard]] std::string evaluated(Engine& engine, const std::string& body, std::string& id);
/// As `cube --requests`, by the model or exactly: nothing is rolled out.
[[nodiscard]] std::string doubled(Engine& engine, const std::string& body, std::string& id);
/// As the picture of `evaluate --diagram`.
[[nodiscard]] std::string pictured(const Engine& engine, const std::string& body, std::string& id);
/// As `match --json`; `name` names the record.
[[nodiscard]] std::string judged(Engine& engine, const std::string& record,
                                 const std::string& name);

}  // namespace sixfold::tools
