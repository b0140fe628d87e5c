#include "tools/sheets.h"

#include <algorithm>
#include <array>

#include "base/atomic_file.h"
#include "tools/terminal.h"

namespace sixfold::tools {
namespace {

constexpr std::array<const char*, 4> kKinds{".html", ".md", ".csv", ".json"};

std::string kind_of(const std::string& out) {
  return std::filesystem::path(out).extension().string();
}

/// Pipes have no canonical path, and nothing is written over in them.
std::filesystem::path place_of(const std::string& file) {
  std::error_code error;
  const std::filesystem::path place =
      std::filesystem::weakly_canonical(std::filesystem::absolute(file), error);
  return error ? std::filesystem::path(file) : place;
}

}  // namespace

bool is_sheet(const std::string& out) {
  return std::find(kKinds.begin(), kKinds.end(), kind_of(out)) != kKinds.end();
}

SheetPlaces::SheetPlaces(const std::string& input, bool force) : force_(force) {
  if (!input.empty()) taken_.insert(place_of(input));
}

void SheetPlaces::take(const std::string& file, const std::string& option) {
  if (!taken_.insert(place_of(file)).second) {
    throw InputError("is read or written already", option + " " + file, "a file of its own");
  }
  require_place_for(file, option, force_);
}

WrittenSheets write_sheets(const std::vector<std::string>& outs, const SheetForms& forms) {
  WrittenSheets written;
  for (const std::string& out : outs) {
    const std::string kind = kind_of(out);
    try {
      write_file_atomically(out, kind == ".html"  ? forms.html()
                                 : kind == ".md"  ? forms.markdown()
                                 : kind == ".csv" ? forms.csv()
                                                  : forms.json());
      written.told += "Written: " + out + "\n";
    } catch (const InputError& failure) {
      if (!written.error) written.error = failure;
    }
  }
  return written;
}

}  // namespace sixfold::tools
