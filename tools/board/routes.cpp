#include "tools/board/routes.h"

#include <optional>

#include "base/input_error.h"
#include "report/json/board_json.h"
#include "report/json/json_report.h"
#include "tools/board/page.h"
#include "tools/board/static_answers.h"

namespace sixfold::tools {
namespace {

WebAnswer json(std::string body) {
  WebAnswer answer;
  answer.body = std::move(body);
  return answer;
}

WebAnswer complaint(int status, const std::string& id, const std::string& message) {
  WebAnswer answer = json(error_json(id, message) + "\n");
  answer.status = status;
  return answer;
}

WebAnswer nothing_there() { return complaint(404, "null", "there is nothing here"); }

WebAnswer page_answer(const PageFile& file) {
  WebAnswer answer;
  answer.type = file.name.ends_with(".html")  ? "text/html; charset=utf-8"
                : file.name.ends_with(".css") ? "text/css; charset=utf-8"
                                              : "text/javascript; charset=utf-8";
  answer.body = file.text;
  return answer;
}

}  // namespace

Routes::Routes(Engines& engines, const BoardOptions& options)
    : engines_(engines), options_(options) {}

WebAnswer Routes::answer(const WebRequest& request) {
  std::string id = "null";
  try {
    return request.is_post ? post(request.path, request.body, id) : get(request.path);
  } catch (const InputError& error) {
    return complaint(400, id, error.what());
  }
}

WebAnswer Routes::get(const std::string& path) {
  if (path == "state") {
    return json(
        board_state_json({engines_.made_by(), !options_.queue.empty(), !options_.match.empty()}) +
        "\n");
  }
  const std::optional<PageFile> file = page_file(path.empty() ? "board.html" : path);
  return file ? page_answer(*file) : nothing_there();
}

WebAnswer Routes::post(const std::string& path, const std::string& body, std::string& id) {
  const auto engine = engines_.borrow();
  if (path == "look") return json(look_at(*engine, body, id));
  if (path == "evaluate") return json(evaluated(*engine, body, id));
  if (path == "cube") return json(doubled(*engine, body, id));
  if (path == "match") return json(judged(*engine, body, "match"));
  if (path == "diagram") {
    WebAnswer answer = json(pictured(*engine, body, id));
    answer.type = "image/svg+xml";
    return answer;
  }
  return nothing_there();
}

}  // namespace sixfold::tools
