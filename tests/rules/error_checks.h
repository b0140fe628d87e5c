/// Checks of InputError for the tests of parsers.
#pragma once

#include <catch2/catch.hpp>
#include <string>

#include "base/input_error.h"

namespace sixfold {

using Catch::Matchers::Contains;

/// The error of a call that must throw InputError.
template <typename Call>
InputError error_of(Call call) {
  try {
    call();
  } catch (const InputError& error) {
    return error;
  }
  FAIL("no InputError");
  return {"", "", ""};
}

/// Checks the parts of an error, and that the message holds all three.
inline void check_error(const InputError& error, const char* complaint, const char* where,
                        const char* expected) {
  CHECK_THAT(error.complaint(), Contains(complaint));
  CHECK_THAT(error.where(), Contains(where));
  CHECK_THAT(error.expected(), Contains(expected));
  const std::string message = error.what();
  CHECK_THAT(message, Contains(error.complaint()));
  CHECK_THAT(message, Contains(error.where()));
  CHECK_THAT(message, Contains(error.expected()));
}

struct Malformed {
  const char* text;
  const char* complaint;
  const char* where;
  const char* expected;
};

}  // namespace sixfold
