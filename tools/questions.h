/// From options and requests to an Engine and its questions.
#pragma once

#include <atomic>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "equity/score.h"
#include "report/json/request.h"
#include "report/tables/csv.h"
#include "report/telling.h"
#include "session/core.h"
#include "session/sixfold.h"
#include "study/lesson.h"
#include "tools/commands.h"
#include "tools/progress.h"
#include "tools/terminal.h"

namespace sixfold::tools {

/// The engine of the options; says on a terminal when it computes tables, which takes a while.
[[nodiscard]] Engine engine_of(const PositionOptions& options, int threads = 0);

/// What the options have read: net, match table, requests.
[[nodiscard]] Files files_of(const PositionOptions& options);

/// "a,b" -> a, b. Throws InputError for an empty part; `what` names it.
[[nodiscard]] std::vector<std::string> comma_list(const std::string& text, const std::string& what);
/// Throws InputError for scores that are none, and for duplicates.
[[nodiscard]] std::vector<Score> parse_scores(const std::string& text,
                                              const MatchEquityTable& table);
/// What a lesson is where nobody says otherwise: its scores, and how well it is to be known. Throws
/// as Core::settings().
[[nodiscard]] LessonPlan usual_lesson(const Core& core, const Rolling& rolling);
[[nodiscard]] Question question_of(const PositionOptions& options);

/// A question at one score, and what else a request may say.
struct Asked {
  Question question;
  Rolling rolling{};
  bool is_request = false;
  bool asks_for_trials = false;  ///< The request says how much is to be rolled out, or how.
  bool facts = false;            ///< As PositionOptions has them.
  bool ledger = false;
  std::string id = "null";  ///< The caller's, as JSON.
  std::string title{};

  [[nodiscard]] CallersName name() const { return {id, title}; }
  /// A table of the answer; that of a request has its id and title in front.
  [[nodiscard]] Csv table(const Csv& csv) const {
    return is_request ? named_csv(plain_id(id), title, csv) : csv;
  }
  /// "64 at dmp", or the score alone.
  [[nodiscard]] std::string words() const;
};
/// The question of a request, what it leaves out being what the options say. Throws InputError for
/// what the command has no use for.
[[nodiscard]] Asked asked_by(const Request& request, const PositionOptions& options,
                             const Rolling& rolling);
/// What a request's line asks, a question for each of its scores. `id` gets the caller's, also
/// where the rest can't be read. Throws InputError.
[[nodiscard]] std::vector<Asked> asked_in(const std::string& line, const PositionOptions& options,
                                          const Rolling& rolling, const MatchEquityTable& table,
                                          std::string& id);
/// What requests about plays, or about doubles, leave out where no command line says more.
[[nodiscard]] PositionOptions request_options(bool is_double);
/// One question for each score. Throws as parse_scores().
[[nodiscard]] std::vector<Asked> at_scores(const Asked& asked, const std::string& scores,
                                           const MatchEquityTable& table);
/// A recorded match, judged; what could not be read is among its complaints. `notes` gets what was
/// passed over. Throws InputError where no game can be read; `name` names the record.
[[nodiscard]] MatchReview reviewed_match(Core& core, std::string_view text, const std::string& name,
                                         const std::atomic<bool>* stop,
                                         std::vector<std::string>& notes);
using Answer = std::function<void(const Asked&)>;

/// Calls `answer` for each question of the options or of the requests, in order. A bad request is
/// answered by an error line and does not stop the rest; how many were bad is said at the end.
/// Returns the exit code.
int for_each_question(const PositionOptions& options, const Rolling& rolling, const Engine& engine,
                      const Answer& answer);

/// Says on standard error what is odd about a position, each thing once.
void warn_of(const Position& position);

/// Prints answers one by one as text, JSON or CSV.
class Output {
 public:
  /// Throws InputError for two forms at once.
  explicit Output(const PositionOptions& options);

  [[nodiscard]] bool is_json() const { return form_ == Form::kJson; }
  /// Makes and prints an answer in the form that was asked for.
  void add(const std::function<std::string()>& json, const std::function<Csv()>& csv,
           const std::function<std::string()>& text);
  /// There is no answer; says why.
  void add_none(const Asked& asked, const std::string& reason);

 private:
  enum class Form { kText, kJson, kCsv } form_;
  bool is_first_ = true;
};

}  // namespace sixfold::tools
