#include "report/page/night_page.h"

#include <array>
#include <cstddef>

#include "base/format.h"
#include "base/markup.h"
#include "report/page/sheet_parts.h"
#include "report/words/phrases.h"
#include "report/words/plain_words.h"

namespace sixfold {
namespace {

/// In the order of the page.
enum Group : std::uint8_t { kSettled, kOpen, kUndone, kFailed, kGroups };
constexpr std::array<const char*, kGroups> kGroupNames{"Settled", "Open", "Not done yet", "Failed"};

bool has_open(const NightEntry& entry) {
  for (const Finding& finding : entry.findings) {
    if (finding.is_open) return true;
  }
  return false;
}

Group group_of(const NightEntry& entry) {
  using State = NightEntry::State;
  if (entry.state == State::kFailed) return kFailed;
  if (entry.state != State::kDone) return kUndone;
  return has_open(entry) ? kOpen : kSettled;
}

std::string finding_line(const Finding& finding) {
  std::string sure = sureness(!finding.is_open);
  if (finding.best_probability) sure += ", " + chance_words(*finding.best_probability);
  return element("p", {{"class", "finding"}},
                 element("span", {{"class", "sure"}}, sure) + " " +
                     element("b", {}, unbroken_words(finding.about) + ":") + " " +
                     prose(finding.words)) +
         "\n";
}

std::string entry_item(const NightEntry& entry) {
  const std::string title = escaped(entry.name.title);
  std::string name = element("span", {{"class", "entry"}}, std::to_string(entry.name.number)) +
                     (entry.sheet.empty() ? title : element("a", {{"href", entry.sheet}}, title));
  std::string found;
  for (const Finding& finding : entry.findings) found += finding_line(finding);
  if (entry.state == NightEntry::State::kWaiting) found += paragraphs("aside", "Not begun.");
  if (entry.state == NightEntry::State::kBegun) {
    found += paragraphs("aside", "So far, after " + count_words(entry.trials) + " trials.");
  }
  if (!entry.error.empty()) found += paragraphs("warning", entry.error);
  return element("li", {{"class", "keep"}},
                 element("h3", {}, name) + "\n" + element("div", {}, "\n" + found)) +
         "\n";
}

std::string group_panel(const NightReport& night, Group group) {
  std::string items;
  std::size_t count = 0;
  for (const NightEntry& entry : night.entries) {
    if (group_of(entry) != group) continue;
    items += entry_item(entry);
    ++count;
  }
  if (count == 0) return "";
  const std::string heading = format("{}: {}", kGroupNames[group], count);
  return element("section", {{"class", "panel"}},
                 element("h2", {}, heading) + "\n" +
                     element("ul", {{"class", "night"}}, "\n" + items)) +
         "\n";
}

/// How many entries there are of each kind, and what they took.
std::string summary(const NightReport& night) {
  std::array<std::size_t, kGroups> counts{};
  std::uint64_t trials = 0;
  double seconds = 0.0;
  for (const NightEntry& entry : night.entries) {
    ++counts[group_of(entry)];
    trials += entry.trials;
    seconds += entry.seconds;
  }
  constexpr std::array<const char*, kGroups> kCounted{"settled", "open", "not done yet", "failed"};
  std::vector<std::string> parts;
  for (std::size_t group = 0; group < kGroups; ++group) {
    if (counts[group] > 0) parts.push_back(format("{} {}", counts[group], kCounted[group]));
  }
  const std::size_t entries = night.entries.size();
  return format("{} {}: ", entries, entries == 1 ? "entry" : "entries") + joined(parts) + ". " +
         count_words(trials) + " trials in " + duration_words(seconds) + ".";
}

std::string links_to_tables(const NightReport& night) {
  std::string links;
  for (const NightFile& table : night.tables) {
    links += (links.empty() ? "" : "; ") +
             element("a", {{"href", table.file}}, escaped(table.file)) + ", " + escaped(table.what);
  }
  if (links.empty()) return "";
  return element("p", {{"class", "aside"}}, "As tables: " + links + ".") + "\n";
}

}  // namespace

std::string night_html(const NightReport& night) {
  std::vector<Finding> findings;
  for (const NightEntry& entry : night.entries) {
    findings.insert(findings.end(), entry.findings.begin(), entry.findings.end());
  }
  const std::string title = "What the night found";
  std::string body =
      element("header", {},
              element("h1", {}, title) + "\n" + paragraphs("question", summary(night)) +
                  paragraphs("aside", "Computed by Sixfold " + night.made_by.version +
                                          " with net " + night.made_by.net + ".") +
                  paragraphs("aside", sureness_legend(findings))) +
      "\n<main>\n";
  for (const Group group : {kSettled, kOpen, kUndone, kFailed}) body += group_panel(night, group);
  return page_html(title, body + links_to_tables(night) + "</main>\n" +
                              page_foot("", "The same report again:", night.command));
}

}  // namespace sixfold
