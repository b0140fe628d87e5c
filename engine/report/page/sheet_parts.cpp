#include "report/page/sheet_parts.h"

#include <algorithm>
#include <string_view>

#include "base/markup.h"
#include "report/page/styles.h"
#include "report/words/names.h"
#include "report/words/phrases.h"
#include "rules/notation.h"

namespace sixfold {
namespace {

/// A number as it is printed, with what a reader checks it by.
struct Datum {
  double value;
  std::string places;  ///< Pointers; where there are several, of numbers that add up to it.
  std::string printed;
  double scale = 1.0;
  bool is_bound = false;
};

std::string marked(const Datum& datum) {
  std::string attributes = " value=\"" + format("{:.17g}", datum.value) + "\" data-json=\"" +
                           escaped(datum.places) + "\"";
  if (datum.scale != 1.0) attributes += " data-scale=\"" + format("{:g}", datum.scale) + "\"";
  if (datum.is_bound) attributes += " data-rounded=\"down\"";
  return "<data" + attributes + ">" + with_minus_sign(datum.printed) + "</data>";
}

std::string interval_of(const Estimate& estimate, const JsonPath& at, bool has_sign, int digits,
                        double scale) {
  const double mean = estimate.mean * scale;
  return with_half_width(
      marked({estimate.mean, (at / "mean").pointer(),
              has_sign ? format("{:+.{}f}", mean, digits) : format("{:.{}f}", mean, digits),
              scale}),
      marked({estimate.half_width, (at / "half_width").pointer(),
              format("{:.{}f}", estimate.half_width * scale, digits), scale}));
}

constexpr double kPerCent = 100.0;

/// The words of a text, escaped; those that are to stay in one piece are marked.
template <typename Stays>
std::string by_words(const std::string& text, Stays stays) {
  std::string html;
  for (std::size_t begin = 0; begin <= text.size();) {
    const std::size_t end = std::min(text.find(' ', begin), text.size());
    const std::string word = text.substr(begin, end - begin);
    html += (begin == 0 ? "" : " ") +
            (stays(word) ? element("span", {{"class", "unbroken"}}, escaped(word)) : escaped(word));
    begin = end + 1;
  }
  return html;
}

}  // namespace

std::string datum(double value, const JsonPath& at, FormatPattern<double> pattern, double scale) {
  return marked({value, at.pointer(), sixfold::format(pattern, value * scale), scale});
}

std::string sum_datum(double value, const JsonPath& first, int sign, const JsonPath& second,
                      FormatPattern<double> pattern, double scale) {
  const std::string places = first.pointer() + (sign < 0 ? " -" : " ") + second.pointer();
  return marked({value, places, sixfold::format(pattern, value * scale), scale});
}

std::string with_half_width(const std::string& mean, const std::string& half_width) {
  return mean + " " + element("span", {{"class", "half-width"}}, "± " + half_width);
}

std::string bound_datum(double bound, const JsonPath& at, int decimals) {
  return marked({bound, at.pointer(), bound_text(bound, decimals), 1.0, true});
}

std::string interval_data(const Estimate& estimate, const JsonPath& at, bool has_sign,
                          double scale) {
  return interval_of(estimate, at, has_sign, scale != 1.0 ? 2 : equity_decimals(estimate), scale);
}

std::string chance_data(const Estimate& estimate, const JsonPath& at) {
  return interval_of(estimate, at, false, 1, kPerCent) + "%";
}

std::string share_data(const Estimate& estimate, const JsonPath& at) {
  if (estimate.half_width == 0.0 || estimate.mean > estimate.half_width) {
    return interval_data(estimate, at, false, kPerCent);
  }
  const double most = estimate.mean + estimate.half_width;
  return "under " + marked({most, (at / "mean").pointer() + " " + (at / "half_width").pointer(),
                            format("{:.2f}", most * kPerCent), kPerCent});
}

std::string share_of_data(const RolledPlay& play, ShareOf share, const JsonPath& at) {
  const OutcomeWorth counted = outcomes_in(share);
  std::string places;
  for (std::size_t o = 0; o < kOutcomeCount; ++o) {
    if (counted[o] == 0.0) continue;
    places +=
        (places.empty() ? "" : " ") + (at / "outcomes" / kOutcomeFields[o] / "mean").pointer();
  }
  const double value = share_of(play, share);
  return marked({value, places, format("{:.1f}", value * kPerCent), kPerCent});
}

std::string cost_data(const RolledPlay& play, const JsonPath& at) {
  constexpr int kDecimals = 3;
  if (play.at_least) {
    return "over " + bound_datum(*play.at_least, at / "cost" / "at_least", kDecimals);
  }
  return interval_data(play.cost, at / "cost", false);
}

std::string prose(const std::string& text) {
  // What the author writes may be of any length: only what looks like a part of a play is kept.
  constexpr std::size_t kLongest = 16;
  std::string html = by_words(text, [](const std::string& word) {
    const bool has_digit = word.find_first_of("123456789") != std::string::npos;
    return word.size() <= kLongest && has_digit && word.find('/') != std::string::npos;
  });
  constexpr std::string_view kError = " ± ";
  for (std::size_t at = html.find(kError); at != std::string::npos; at = html.find(kError, at)) {
    html.replace(at, kError.size(), "&nbsp;±&nbsp;");
  }
  constexpr std::string_view kMinus = "(-";
  for (std::size_t at = html.find(kMinus); at != std::string::npos; at = html.find(kMinus, at)) {
    html.replace(at, kMinus.size(), "(−");
  }
  return html;
}

std::string paragraphs(const char* kind, const std::string& text) {
  std::string html;
  for (std::size_t begin = 0; begin < text.size();) {
    const std::size_t end = std::min(text.find('\n', begin), text.size());
    if (end > begin) {
      html += element("p", {{"class", kind}}, prose(text.substr(begin, end - begin))) + "\n";
    }
    begin = end + 1;
  }
  return html;
}

std::string folded(const char* kind, const std::string& summary, const std::string& content) {
  return element("details", {{"class", kind}},
                 element("summary", {}, escaped(summary)) + "\n" + content) +
         "\n";
}

std::string sureness(bool is_settled) {
  return is_settled ? element("span", {{"class", "is-settled"}}, "● settled")
                    : element("span", {{"class", "is-open"}}, "○ open");
}

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

std::string unbroken_words(const std::string& text) {
  return by_words(text, [](const std::string&) { return true; });
}

std::string list_cell(const std::string& kind, const std::string& label,
                      const std::string& content) {
  if (label.empty()) return element("td", {{"role", "cell"}, {"class", kind}}, content);
  return element("td", {{"role", "cell"}, {"class", kind}, {"data-label", label}}, content);
}

std::string list_row(const std::string& name, const std::string& cells) {
  return element("tr", {{"role", "row"}},
                 element("th", {{"scope", "row"}, {"role", "rowheader"}}, name) + cells) +
         "\n";
}

std::string list_table(const char* kind, const std::string& caption, const TableCells& heads,
                       const std::string& rows) {
  std::string head = element("th", {{"role", "columnheader"}}, "");
  for (const std::string& cell : heads) {
    head += element("th", {{"scope", "col"}, {"role", "columnheader"}}, unbroken_words(cell));
  }
  return element(
             "table", {{"class", kind}, {"role", "table"}},
             element("caption", {}, escaped(caption)) + "\n" +
                 element("thead", {{"role", "rowgroup"}}, element("tr", {{"role", "row"}}, head)) +
                 "\n" + element("tbody", {{"role", "rowgroup"}}, "\n" + rows)) +
         "\n";
}

std::string position_markup(const Position& position) {
  const std::string text = position_text(position);
  const std::size_t second = std::min(text.find("/ ") + 2, text.size());
  const auto side = [](const std::string& part) {
    return element("span", {{"class", "side"}}, escaped(part));
  };
  return side(text.substr(0, second)) + side(text.substr(second));
}

std::string print_choice(const std::string& words) {
  return element("p", {{"class", "aside print-choice"}},
                 "<label><input type=\"checkbox\" id=\"print-all\"> " + escaped(words) +
                     "</label>. Otherwise what is open goes on paper.") +
         "\n";
}

std::string page_foot(const std::string& computed, const std::string& again,
                      const std::string& command) {
  return element("footer", {},
                 paragraphs("aside", computed) + paragraphs("aside", again) +
                     element("pre", {}, escaped(command)) + "\n" +
                     paragraphs("aside", kEstimatesNote)) +
         "\n";
}

std::string page_html(const std::string& title, const std::string& body) {
  const std::string head =
      "<meta charset=\"utf-8\">\n"
      "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
      "<meta name=\"color-scheme\" content=\"light dark\">\n" +
      element("title", {}, escaped(title)) + "\n" +
      element("style", {}, std::string(picture_style()) + chart_style() + sheet_style());
  return "<!doctype html>\n" +
         element("html", {{"lang", "en"}},
                 "\n" + element("head", {}, "\n" + head + "\n") + "\n" +
                     element("body", {}, "\n" + body) + "\n") +
         "\n";
}

}  // namespace sixfold
