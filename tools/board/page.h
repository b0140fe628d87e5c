/// The files of the page, which the build puts into the program.
#pragma once

#include <optional>
#include <string_view>

namespace sixfold::tools {

struct PageFile {
  std::string_view name;  ///< "board.css"
  std::string_view text;
};

/// One of the files in the folder `page`, or of the style sheets that sheets have; nothing for
/// other names.
[[nodiscard]] std::optional<PageFile> page_file(std::string_view name) noexcept;

}  // namespace sixfold::tools
