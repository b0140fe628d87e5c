#include "tools/board/routes.h"

#include <algorithm>
#include <charconv>
#include <cstdint>
#include <filesystem>
#include <limits>
#include <optional>
#include <utility>

#include "base/format.h"
#include "base/input_error.h"
#include "report/json/board_json.h"
#include "report/json/json_report.h"
#include "tools/board/page.h"
#include "tools/board/static_answers.h"
#include "tools/sheets.h"
#include "tools/terminal.h"

namespace sixfold::tools {
namespace {

/// Such a record takes about ten seconds; a match of an evening has a hundredth of that.
constexpr std::size_t kMostRecord = 256 << 10;
constexpr std::uint64_t kLastEntry = std::numeric_limits<std::int64_t>::max();

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

/// A path by its slashes: "work", "3", "stop".
std::vector<std::string> steps_of(const std::string& path) {
  std::vector<std::string> steps;
  for (std::size_t begin = 0; begin <= path.size();) {
    const std::size_t end = std::min(path.find('/', begin), path.size());
    steps.push_back(path.substr(begin, end - begin));
    begin = end + 1;
  }
  return steps;
}

/// A number from 1 on; nothing for other texts.
std::optional<std::uint64_t> number_in(const std::string& text) {
  std::uint64_t number = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
  if (error != std::errc() || end != text.data() + text.size() || number == 0) return std::nullopt;
  return number;
}

WebAnswer sheet_answer(std::string text, const std::string& name, const std::string& kind) {
  WebAnswer answer = json(std::move(text));
  if (kind == ".html") {
    answer.type = "text/html; charset=utf-8";
    answer.is_sheet = true;
    return answer;
  }
  if (kind == ".md") answer.type = "text/markdown; charset=utf-8";
  if (kind == ".csv") answer.type = "text/csv; charset=utf-8";
  answer.file_name = name;
  return answer;
}

}  // namespace

Routes::Routes(Engines& engines, const BoardOptions& options) : engines_(engines), shop_(engines) {
  if (!options.queue.empty()) queue_.emplace(options.queue);
  if (options.match.empty()) return;
  match_ = judged(*engines_.borrow(), text_of_file(options.match, "match file", "a recorded match"),
                  options.match);
}

WebAnswer Routes::answer(const WebRequest& request) {
  std::string id = "null";
  try {
    return request.is_post ? post(request.path, request.body, id) : get(request.path);
  } catch (const InputError& error) {
    return complaint(400, id, error.what());
  } catch (const Refusal& refusal) {
    return complaint(refusal.status(), id, refusal.what());
  }
}

WebAnswer Routes::get(const std::string& path) {
  const std::vector<std::string> steps = steps_of(path);
  if (steps.front() == "work") return get_work(steps);
  if (steps.front() == "queue") return get_queue(steps);
  if (path == "state") {
    return json(board_state_json({engines_.made_by(), queue_.has_value(), !match_.empty()}) + "\n");
  }
  if (path == "match") return match_.empty() ? nothing_there() : json(match_);
  const std::optional<PageFile> file = page_file(path.empty() ? "board.html" : path);
  return file ? page_answer(*file) : nothing_there();
}

WebAnswer Routes::post(const std::string& path, const std::string& body, std::string& id) {
  const std::vector<std::string> steps = steps_of(path);
  return steps.front() == "work" ? post_work(steps, body, id) : at_once(path, body, id);
}

WebAnswer Routes::get_work(const std::vector<std::string>& steps) {
  const auto work = steps.size() > 1 ? number_in(steps[1]) : std::nullopt;
  if (!work || steps.size() > 3) return nothing_there();
  if (steps.size() == 2) {
    WebAnswer answer;
    answer.type = "text/event-stream";
    answer.events = shop_.watch(*work);
    return answer;
  }
  const std::string& file = steps[2];
  const std::string kind = std::filesystem::path(file).extension().string();
  const bool is_known =
      std::find(kSheetKinds.begin(), kSheetKinds.end(), kind) != kSheetKinds.end();
  const bool is_quiz = file == "quiz.html";
  if (!is_known || (!is_quiz && file != "sheet" + kind)) return nothing_there();
  return sheet_answer(shop_.sheet(*work, kind, is_quiz), file, kind);
}

WebAnswer Routes::post_work(const std::vector<std::string>& steps, const std::string& body,
                            std::string& id) {
  if (steps.size() == 1) return json(work_json(shop_.start(body, id)) + "\n");
  const auto work = number_in(steps[1]);
  if (!work || steps.size() != 3) return nothing_there();
  if (steps[2] == "go-on") return json(work_json(shop_.go_on(*work)) + "\n");
  if (steps[2] != "stop") return nothing_there();
  shop_.stop(*work);
  return json("{}\n");
}

WebAnswer Routes::get_queue(const std::vector<std::string>& steps) {
  if (!queue_) return nothing_there();
  if (steps.size() == 1) return json(queue_->list() + "\n");
  const auto entry = number_in(steps[1]);
  if (!entry || *entry > kLastEntry || steps.size() != 3 || steps[2] != "sheet.html") {
    return nothing_there();
  }
  std::string page = queue_->sheet(static_cast<std::int64_t>(*entry), engines_.borrow()->core());
  if (page.empty()) throw Refusal(409, "nothing is known of the entry yet");
  return sheet_answer(std::move(page), steps[2], ".html");
}

WebAnswer Routes::at_once(const std::string& path, const std::string& body, std::string& id) {
  const auto engine = engines_.borrow();
  if (path == "look") return json(look_at(*engine, body, id));
  if (path == "evaluate") return json(evaluated(*engine, body, id));
  if (path == "cube") return json(doubled(*engine, body, id));
  if (path == "match") {
    if (body.size() > kMostRecord) {
      throw Refusal(413, format("a record of more than {} bytes; expected a match", kMostRecord));
    }
    return json(judged(*engine, body, "match"));
  }
  if (path == "queue" && queue_) return json(queue_->add(body, engine->core()) + "\n");
  if (path != "diagram") return nothing_there();
  WebAnswer answer = json(pictured(*engine, body, id));
  answer.type = "image/svg+xml";
  return answer;
}

}  // namespace sixfold::tools
