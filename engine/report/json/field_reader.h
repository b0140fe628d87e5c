/// Reads JSON objects that people and programs write, with complaints that name the field. Used by
/// the files of this folder alone.
#pragma once

#include <algorithm>
#include <cstdint>
#include <initializer_list>
#include <nlohmann/json.hpp>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "base/clean_text.h"
#include "base/format.h"
#include "base/input_error.h"
#include "evaluator/strict_json.h"

namespace sixfold {

using ReadJson = nlohmann::json;

/// "line 3, column 7" of byte number `byte`, from 1; the column alone where there is one line.
[[nodiscard]] inline std::string place_in(std::string_view text, std::size_t byte) {
  const std::string_view before = text.substr(0, byte == 0 ? 0 : byte - 1);
  const std::size_t last_break = before.rfind('\n');
  const std::size_t column = before.size() - (last_break + 1) + 1;  // npos + 1 is 0.
  if (text.find('\n') == std::string_view::npos) return "column " + std::to_string(column);
  const auto line = 1 + std::count(before.begin(), before.end(), '\n');
  return "line " + std::to_string(line) + ", column " + std::to_string(column);
}

/// What can be counted in a text before it is parsed, if it is JSON.
struct JsonShape {
  int depth = 0;           ///< How deep lists and objects lie in one another.
  std::size_t fields = 0;  ///< Names in front of values, in all objects.
};

[[nodiscard]] inline JsonShape shape_of(std::string_view text) noexcept {
  JsonShape shape;
  int depth = 0;
  bool is_quoted = false;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (c == '"') is_quoted = !is_quoted;
    if (is_quoted) {
      if (c == '\\') ++i;
      continue;
    }
    if (c == '[' || c == '{') shape.depth = std::max(shape.depth, ++depth);
    if (c == ']' || c == '}') --depth;
    if (c == ':') ++shape.fields;
  }
  return shape;
}

/// How many fields the objects of a value have, those in one another counted too.
[[nodiscard]] inline std::size_t field_count(const ReadJson& json) {
  std::size_t count = json.is_object() ? json.size() : 0;
  if (json.is_structured()) {
    for (const ReadJson& value : json) count += field_count(value);
  }
  return count;
}

/// Throws InputError for a text that is not JSON, or JSON but no object, or has two fields of one
/// name in an object; `where` names it.
[[nodiscard]] inline ReadJson read_object(std::string_view text, const std::string& where) {
  constexpr int kDeepest = 100;  // Reading and writing deeper ones would use up the stack.
  const JsonShape shape = shape_of(text);
  if (shape.depth > kDeepest) {
    throw InputError("lists and objects lie too deep in one another", where,
                     format("{} levels at most", kDeepest));
  }
  ReadJson json;
  try {
    // The parser takes a zero byte for the end.
    if (const std::size_t zero = text.find('\0'); zero != std::string_view::npos) {
      throw InputError("a zero byte at " + place_in(text, zero + 1), where, "a JSON object");
    }
    json = ReadJson::parse(text);
    if (field_count(json) != shape.fields) {
      static_cast<void>(parse_unique(text, [&](const std::string& name) {
        throw InputError("two fields '" + name + "' in one object", where, "each field once");
      }));
    }
  } catch (const ReadJson::parse_error& error) {
    throw InputError("not JSON at " + place_in(text, error.byte), where, "a JSON object");
  } catch (const ReadJson::exception&) {
    throw InputError("a number beyond what can be read", where, "numbers up to 1e308");
  }
  if (!json.is_object()) throw InputError("not an object", where, "a JSON object");
  return json;
}

/// The fields of an object; every complaint names the path inside the text.
class FieldReader {
 public:
  /// Complaints begin with `where`, such as "field ", followed by the path of a field.
  FieldReader(const ReadJson& object, std::string where)
      : object_(object), where_(std::move(where)) {}

  void require_known_fields(std::initializer_list<std::string_view> known) const {
    for (const auto& [field, value] : object_.items()) {
      if (std::find(known.begin(), known.end(), field) != known.end()) continue;
      std::string names;
      for (const std::string_view name : known) {
        names += (names.empty() ? "" : ", ") + std::string(name);
      }
      fail(field, "unknown field", "one of " + names);
    }
  }
  [[nodiscard]] bool has(const char* field) const { return object_.contains(field); }

  [[nodiscard]] std::string text(const char* field) const {
    return text_of(field, object_.at(field));
  }
  [[nodiscard]] std::uint64_t whole_number(const char* field, std::uint64_t least,
                                           std::uint64_t most) const {
    const ReadJson& value = object_.at(field);
    if (!value.is_number_unsigned() || value.get<std::uint64_t>() < least ||
        value.get<std::uint64_t>() > most) {
      fail(field, "not a whole number in range",
           std::to_string(least) + " to " + std::to_string(most));
    }
    return value.get<std::uint64_t>();
  }
  [[nodiscard]] bool yes_or_no(const char* field) const {
    if (!object_.at(field).is_boolean()) fail(field, "neither yes nor no", "true or false");
    return object_.at(field).get<bool>();
  }
  [[nodiscard]] double positive_number(const char* field) const {
    const ReadJson& value = object_.at(field);
    if (!value.is_number() || !(value.get<double>() > 0.0)) {
      fail(field, "not a positive number", "such as 0.01");
    }
    return value.get<double>();
  }
  [[nodiscard]] double number_between(const char* field, double least, double most) const {
    const ReadJson& value = object_.at(field);
    const bool is_in =
        value.is_number() && value.get<double>() >= least && value.get<double>() <= most;
    if (!is_in) fail(field, "not a number in range", format("{:g} to {:g}", least, most));
    return value.get<double>();
  }
  /// A list of distinct items, each by `read(path, entry)`.
  template <typename Read>
  [[nodiscard]] auto list(const char* field, const char* expected, Read read) const {
    if (!has(field)) fail(field, "missing", expected);
    const ReadJson& entries = object_.at(field);
    if (!entries.is_array() || entries.empty()) fail(field, "not a list", expected);
    std::vector<decltype(read(std::string(), entries))> items;
    for (std::size_t i = 0; i < entries.size(); ++i) {
      const std::string path = std::string(field) + "[" + std::to_string(i) + "]";
      const auto item = read(path, entries[i]);
      if (std::find(items.begin(), items.end(), item) != items.end()) {
        fail(path, "a duplicate", "each entry once");
      }
      items.push_back(item);
    }
    return items;
  }
  /// The same of texts, each by `parse`.
  template <typename Parse>
  [[nodiscard]] auto texts(const char* field, Parse parse) const {
    return list(field, "a list of texts", [&](const std::string& path, const ReadJson& entry) {
      const std::string text = text_of(path, entry);
      return at(path, [&] { return parse(text); });
    });
  }
  /// The fields of an object inside this one.
  [[nodiscard]] FieldReader fields_of(const std::string& path, const ReadJson& object) const {
    return {object, where_ + path + "."};
  }
  /// Runs a parser and adds the path to its complaint.
  template <typename Parse>
  [[nodiscard]] auto at(const std::string& path, Parse parse) const {
    return inside(where_ + path, parse);
  }
  [[noreturn]] void fail(const std::string& path, const std::string& complaint,
                         const std::string& expected) const {
    throw InputError(complaint, where_ + path, expected);
  }

 private:
  /// Without control characters: it will be shown on terminals and pages.
  [[nodiscard]] std::string text_of(const std::string& path, const ReadJson& value) const {
    if (!value.is_string()) fail(path, "not a text", "a text in quotes");
    auto text = value.get<std::string>();
    std::erase(text, '\r');  // Of line ends, as some systems write them.
    if (clean_text(text) != text) {
      fail(path, "a control character in the text", "tabs and line ends at most");
    }
    return text;
  }

  const ReadJson& object_;
  std::string where_;
};

}  // namespace sixfold
