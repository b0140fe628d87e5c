#include "report/page/sheet_parts.h"

#include <algorithm>

#include "base/markup.h"

namespace sixfold {

std::string table_row(const std::string& name, const TableCells& cells) {
  std::string row = element("th", {{"scope", "row"}}, name);
  for (const std::string& cell : cells) row += element("td", {}, cell);
  return element("tr", {}, row) + "\n";
}

std::string table_of(const char* kind, const std::string& caption, const TableCells& heads,
                     const std::string& rows) {
  std::string head = element("th", {}, "");
  for (const std::string& cell : heads) head += element("th", {{"scope", "col"}}, escaped(cell));
  return element("table", {{"class", kind}},
                 element("caption", {}, escaped(caption)) + "\n" +
                     element("thead", {}, element("tr", {}, head)) + "\n" +
                     element("tbody", {}, "\n" + rows)) +
         "\n";
}

std::string datum(double value, const std::string& pointer, const char* pattern, double scale) {
  const std::string text = with_minus_sign(format(pattern, value * scale));
  const std::string digits = format("%.17g", value);
  if (scale == 1.0) return element("data", {{"value", digits}, {"data-json", pointer}}, text);
  return element("data",
                 {{"value", digits}, {"data-json", pointer}, {"data-scale", format("%g", scale)}},
                 text);
}

std::string interval_data(const Estimate& estimate, const std::string& pointer, bool has_sign,
                          double scale) {
  // Equities to a thousandth, or finer where they are known so well.
  const bool is_fine = estimate.half_width > 0.0 && estimate.half_width < 0.002;
  const int digits = scale != 1.0 ? 2 : is_fine ? 4 : 3;
  const std::string plain = format("%%.%df", digits);
  const std::string with_sign = format("%%+.%df", digits);
  return datum(estimate.mean, pointer + "/mean", (has_sign ? with_sign : plain).c_str(), scale) +
         " ± " + datum(estimate.half_width, pointer + "/half_width", plain.c_str(), scale);
}

std::string paragraphs(const char* kind, const std::string& text) {
  std::string html;
  for (std::size_t begin = 0; begin < text.size();) {
    const std::size_t end = std::min(text.find('\n', begin), text.size());
    if (end > begin) {
      html += element("p", {{"class", kind}}, escaped(text.substr(begin, end - begin))) + "\n";
    }
    begin = end + 1;
  }
  return html;
}

}  // namespace sixfold
