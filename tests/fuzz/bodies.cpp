// What a board's page may send: the first line is the address below the token, the rest a body.
// Work is begun and never watched, so that nothing is rolled out.
#include "fuzz/fuzz.h"
#include "tools/board/routes.h"
#include "tools/questions.h"

using namespace sixfold;

namespace {

tools::Routes& routes() {
  const auto engine = [] {
    tools::PositionOptions options;
    options.net = SIXFOLD_NETS "/standard.safetensors";
    options.race_points = 0;
    return tools::engine_of(options, 1);
  };
  static tools::Engines engines(engine(), 1);
  static tools::Routes routes(engines, {});
  return routes;
}

}  // namespace

int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view text = fuzz::text_of(data, size);
  const std::size_t end = text.find('\n');
  if (end == std::string_view::npos) return 0;
  tools::WebRequest request{true, std::string(text.substr(0, end)),
                            std::string(text.substr(end + 1))};
  // Games of two checkers are solved at once, which takes seconds.
  if (request.body.find("checkers") != std::string::npos) return 0;
  const tools::WebAnswer answer = routes().answer(request);
  fuzz::require(answer.status < 500 && !answer.body.empty());
  request.is_post = false;
  fuzz::require(routes().answer(request).status < 500);
  return 0;
}
