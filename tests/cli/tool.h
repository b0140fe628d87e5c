/// Runs the built tool and keeps what it said.
#pragma once

#include <fcntl.h>
#include <stdlib.h>
#include <sys/wait.h>
#include <unistd.h>

#include <catch2/catch.hpp>
#include <filesystem>
#include <sstream>
#include <string>
#include <vector>

#include "evaluator/file_fixtures.h"

namespace sixfold {

struct ToolRun {
  int status = -1;  ///< Exit code, or -1 when a signal ended it.
  std::string out;
  std::string errors;

  [[nodiscard]] std::vector<std::string> lines() const {
    std::istringstream in(out);
    std::vector<std::string> lines;
    for (std::string line; std::getline(in, line);) lines.push_back(line);
    return lines;
  }
};

/// Where the streams of a run go; files of the room when empty.
struct Streams {
  std::string input = "/dev/null";
  std::string output;
};

[[noreturn]] inline void become_tool(const std::string& program,
                                     const std::vector<std::string>& arguments,
                                     const Streams& streams, const std::string& errors) {
  std::vector<std::string> texts{program};
  texts.insert(texts.end(), arguments.begin(), arguments.end());
  std::vector<char*> pointers;
  for (std::string& text : texts) pointers.push_back(text.data());
  pointers.push_back(nullptr);
  constexpr int kWrite = O_WRONLY | O_CREAT | O_TRUNC;
  ::dup2(::open(streams.input.c_str(), O_RDONLY), STDIN_FILENO);
  ::dup2(::open(streams.output.c_str(), kWrite, 0600), STDOUT_FILENO);
  ::dup2(::open(errors.c_str(), kWrite, 0600), STDERR_FILENO);
  ::setenv("XDG_CACHE_HOME", (fs::temp_directory_path() / "sixfold-tests").c_str(), 1);
  ::execv(program.c_str(), pointers.data());
  ::_exit(127);
}

inline ToolRun run_tool(const std::vector<std::string>& arguments, Streams streams = {},
                        const std::string& program = SIXFOLD_TOOL) {
  const Room room;
  const bool kept = streams.output.empty();
  if (kept) streams.output = (room / "out").string();
  const std::string errors = (room / "errors").string();
  const pid_t child = ::fork();
  REQUIRE(child >= 0);
  if (child == 0) become_tool(program, arguments, streams, errors);
  int status = 0;
  REQUIRE(::waitpid(child, &status, 0) == child);
  ToolRun run;
  if (WIFEXITED(status)) run.status = WEXITSTATUS(status);
  if (kept) run.out = read_bytes(streams.output);
  run.errors = read_bytes(errors);
  return run;
}

inline const std::string kNetFile = SIXFOLD_NETS "/standard.safetensors";
inline const std::string kStartText = "24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5";

}  // namespace sixfold
