#include "tools/sheets.h"

#include <algorithm>
#include <array>
#include <filesystem>

#include "base/atomic_file.h"
#include "base/clean_text.h"

namespace sixfold::tools {
namespace {

constexpr std::array<const char*, 4> kKinds{".html", ".md", ".csv", ".json"};

std::string kind_of(const std::string& out) {
  return std::filesystem::path(out).extension().string();
}

}  // namespace

bool is_sheet(const std::string& out) {
  return std::find(kKinds.begin(), kKinds.end(), kind_of(out)) != kKinds.end();
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
      written.told += "Written: " + clean_line(out) + "\n";
    } catch (const InputError& failure) {
      if (!written.error) written.error = failure;
    }
  }
  return written;
}

}  // namespace sixfold::tools
