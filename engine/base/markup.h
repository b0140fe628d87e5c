/// A small writer of HTML and SVG: elements as strings, everything that comes from outside escaped.
///
/// Lengths in pictures are in units of their own, scaled by viewBox. Pure functions.
#pragma once

#include <initializer_list>
#include <string>
#include <string_view>

#include "base/clean_text.h"
#include "base/format.h"

namespace sixfold {

/// Text as the content of an element or the value of an attribute, cleaned.
[[nodiscard]] inline std::string escaped(std::string_view text) {
  std::string safe;
  for (const char c : clean_text(text)) {
    switch (c) {
      case '&':
        safe += "&amp;";
        break;
      case '<':
        safe += "&lt;";
        break;
      case '>':
        safe += "&gt;";
        break;
      case '"':
        safe += "&quot;";
        break;
      default:
        safe += c;
    }
  }
  return safe;
}

/// A printed number with a minus sign for its hyphen, and without a sign where it is all zeros.
[[nodiscard]] inline std::string with_minus_sign(std::string number) {
  const bool is_signed = number.starts_with('-') || number.starts_with('+');
  const bool is_zero = number.find_first_of("123456789") == std::string::npos;
  if (is_signed && is_zero) return number.substr(1);
  if (number.starts_with('-')) number.replace(0, 1, "−");
  return number;
}

/// A length, to a tenth.
[[nodiscard]] inline std::string length(double units) {
  std::string text = format("{:.1f}", units);
  if (text.ends_with(".0")) text.resize(text.size() - 2);
  return text;
}

/// An attribute; its value is escaped when it is written.
struct Attribute {
  const char* name;
  std::string value;
};

/// `content` is markup: escape what is text.
[[nodiscard]] inline std::string element(const char* name,
                                         std::initializer_list<Attribute> attributes,
                                         const std::string& content) {
  std::string text = std::string("<") + name;
  for (const Attribute& attribute : attributes) {
    text += std::string(" ") + attribute.name + "=\"" + escaped(attribute.value) + "\"";
  }
  return text + ">" + content + "</" + name + ">";
}

/// A picture, described in words for those who do not see it. One that holds links is a "group".
[[nodiscard]] inline std::string picture(const char* kind, double width, double height,
                                         const std::string& description, const std::string& content,
                                         const char* role = "img") {
  return element("svg",
                 {{"xmlns", "http://www.w3.org/2000/svg"},
                  {"class", kind},
                  {"viewBox", "0 0 " + length(width) + " " + length(height)},
                  {"role", role},
                  {"aria-label", description}},
                 content) +
         "\n";
}

[[nodiscard]] inline std::string rectangle(double x, double y, double width, double height,
                                           const char* kind, double corner = 0.0) {
  return element("rect",
                 {{"x", length(x)},
                  {"y", length(y)},
                  {"width", length(width)},
                  {"height", length(height)},
                  {"rx", length(corner)},
                  {"class", kind}},
                 "");
}

[[nodiscard]] inline std::string circle(double x, double y, double radius, const char* kind) {
  return element(
      "circle", {{"cx", length(x)}, {"cy", length(y)}, {"r", length(radius)}, {"class", kind}}, "");
}

[[nodiscard]] inline std::string line(double x1, double y1, double x2, double y2,
                                      const char* kind) {
  return element("line",
                 {{"x1", length(x1)},
                  {"y1", length(y1)},
                  {"x2", length(x2)},
                  {"y2", length(y2)},
                  {"class", kind}},
                 "");
}

/// Words at a place; classes say how they are aligned: "start", "middle" or "end" among them.
[[nodiscard]] inline std::string label(double x, double y, const char* kind,
                                       std::string_view text) {
  return element("text", {{"x", length(x)}, {"y", length(y)}, {"class", kind}}, escaped(text));
}

}  // namespace sixfold
