/// The one kind of error for bad input from outside: what is wrong, where, and what was expected.
#pragma once

#include <stdexcept>
#include <string>
#include <utility>

namespace sixfold {

class InputError : public std::runtime_error {
 public:
  /// `where` names the place ("position, character 7", "requests line 3", a file); `expected` may
  /// be empty when the complaint already says it. what() joins the three.
  InputError(std::string complaint, std::string where, std::string expected)
      : std::runtime_error(joined(complaint, where, expected)),
        complaint_(std::move(complaint)),
        where_(std::move(where)),
        expected_(std::move(expected)) {}

  [[nodiscard]] const std::string& complaint() const noexcept { return complaint_; }
  [[nodiscard]] const std::string& where() const noexcept { return where_; }
  [[nodiscard]] const std::string& expected() const noexcept { return expected_; }

 private:
  static std::string joined(const std::string& complaint, const std::string& where,
                            const std::string& expected) {
    std::string text = where.empty() ? complaint : where + ": " + complaint;
    if (!expected.empty()) text += "; expected " + expected;
    return text;
  }

  std::string complaint_;
  std::string where_;
  std::string expected_;
};

/// Calls `call`; an InputError that it throws gets `where` put before its place.
template <typename Call>
decltype(auto) inside(const std::string& where, Call call) {
  try {
    return call();
  } catch (const InputError& error) {
    const std::string place = error.where().empty() ? where : where + ", " + error.where();
    throw InputError(error.complaint(), place, error.expected());
  }
}

}  // namespace sixfold
