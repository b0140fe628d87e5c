#include "report/page/match_course.h"

#include <algorithm>
#include <cmath>

#include "base/markup.h"
#include "report/page/charts.h"

namespace sixfold {
namespace {

/// The values of one game; turns of the record are 1 apart, and a double that was missed stands
/// between two.
struct Course {
  const ReviewedGame& game;
  double offset;  ///< At money what the games before it gave.
  double first = 0.0;
  double last = 1.0;
  double left = 0.0;
  double right = 1.0;

  [[nodiscard]] static double at(const ReviewedTurn& turn) {
    const bool is_missed = turn.kind == TurnKind::kDouble && turn.done == CubeStep::kNoDouble;
    return static_cast<double>(turn.number) - (is_missed ? 0.5 : 0.0);
  }
  [[nodiscard]] double x(double turn) const {
    return left + (right - left) * (turn - first) / (last - first);
  }
};

class CourseChart {
 public:
  CourseChart(const MatchTold& told, std::vector<Course> courses, bool has_names)
      : told_(told), courses_(std::move(courses)), has_names_(has_names) {
    if (has_names_) top_ = kTopWithNames;
    lay_out();
    find_range();
  }

  [[nodiscard]] std::string svg(const std::string& title) const {
    std::string content = element("desc", {}, escaped(description())) + scale();
    for (std::size_t i = 0; i < courses_.size(); ++i) content += frame(i);
    for (const Course& course : courses_) content += curve(course);
    for (const Course& course : courses_) content += marks(course);
    return picture("course", kWidth, kHeight, title, content, "group");
  }

 private:
  static constexpr double kWidth = 640;
  static constexpr double kHeight = 250;
  static constexpr double kLeft = 66;
  static constexpr double kRight = kWidth - 12;
  static constexpr double kBottom = kHeight - 28;
  static constexpr double kTop = 12;
  static constexpr double kTopWithNames = 62;
  static constexpr double kLetter = 11.5;  ///< A letter of the chart takes about so much.

  [[nodiscard]] bool is_chance() const { return told_.match().length > 0; }
  [[nodiscard]] double y(double value) const {
    return kBottom - (kBottom - top_) * (value - low_) / (high_ - low_);
  }

  void lay_out() {
    double turns = 0.0;
    for (Course& course : courses_) {
      for (const ReviewedTurn& turn : course.game.turns) {
        course.last = std::max(course.last, Course::at(turn) + 1.0);
      }
      turns += course.last;
    }
    double left = kLeft;
    for (Course& course : courses_) {
      course.left = left;
      course.right = left += (kRight - kLeft) * course.last / turns;
    }
  }

  void find_range() {
    if (is_chance()) return;
    high_ = 1.0;
    for (const Course& course : courses_) {
      for (const double value : {course.game.start, course.game.result}) widen(course, value);
      for (const ReviewedTurn& turn : course.game.turns) widen(course, turn.value);
    }
    low_ = std::min(low_, -high_);
    high_ = -low_;
  }
  void widen(const Course& course, double value) {
    low_ = std::min(low_, course.offset + value);
    high_ = std::max(high_, course.offset + value);
  }

  /// Lines across with their values.
  [[nodiscard]] std::string scale() const {
    const double step = is_chance() ? 0.25 : round_step(high_ - low_);
    std::string svg;
    for (double k = std::ceil(low_ / step); k * step <= high_ + 1e-9; k += 1.0) {
      const double value = k * step + 0.0;
      const bool is_even = value == (low_ + high_) / 2.0;
      svg += line(kLeft, y(value), kRight, y(value), is_even ? "border" : "tick");
      svg += label(
          kLeft - 8, y(value) + 6, "end",
          is_chance() ? format("{:.0f}%", 100.0 * value) : with_minus_sign(format("{:+g}", value)));
    }
    return svg;
  }

  /// Where a game begins and, of several, its number and score.
  [[nodiscard]] std::string frame(std::size_t number) const {
    const Course& course = courses_[number];
    if (!has_names_) return turn_numbers(course);
    std::string svg;
    if (number > 0) svg += line(course.left, kTop, course.left, kBottom, "border");
    const double middle = (course.left + course.right) / 2.0;
    const auto name = [&](double y, const char* kind, const std::string& text) {
      const bool fits = kLetter * static_cast<double>(text.size()) <= course.right - course.left;
      return fits ? label(middle, y, kind, text) : std::string();
    };
    const RecordedGame& record = told_.record(course.game);
    std::string text = name(kTop + 12, "middle", format("{}", course.game.number));
    text += name(kTop + 32, "score middle", format("{}:{}", record.score[0], record.score[1]));
    if (!text.empty())
      svg += link(game_id(course.game), format("Game {}", course.game.number), text);
    return svg;
  }

  [[nodiscard]] std::string turn_numbers(const Course& course) const {
    const double step = std::max(1.0, round_step(course.last - course.first));
    std::string svg;
    for (double turn = step; turn < course.last; turn += step) {
      svg += line(course.x(turn), kBottom, course.x(turn), kBottom + 5, "border") +
             label(course.x(turn), kBottom + 23, "score middle", format("{:g}", turn));
    }
    return svg;
  }

  [[nodiscard]] std::string curve(const Course& course) const {
    std::string points;
    const auto add = [&](double turn, double value) {
      points += (points.empty() ? "" : " ") + length(course.x(turn)) + "," +
                length(y(course.offset + value));
    };
    add(course.first, course.game.start);
    for (const ReviewedTurn& turn : course.game.turns) add(Course::at(turn), turn.value);
    add(course.last, course.game.result);
    return element("polyline", {{"points", points}, {"class", "curve"}}, "");
  }

  [[nodiscard]] std::string marks(const Course& course) const {
    std::string svg;
    for (const ReviewedTurn& turn : course.game.turns) {
      if (!told_.has_panel(turn)) continue;
      const TurnInGame place{&course.game, &turn};
      const double x = course.x(Course::at(turn));
      const double height = y(course.offset + turn.value);
      std::string mark = circle(x, height, 15, "target") +
                         circle(x, height, 7, turn.player == 0 ? "mark first" : "mark second");
      svg += link(panel_id(place),
                  format("{}: {}, {}, cost {:.3f}", where_words(place), told_.player(turn.player),
                         deed_words(turn), turn.cost),
                  mark);
    }
    return svg;
  }

  /// `words` say where it leads to those who point at it or don't see it.
  static std::string link(const std::string& id, const std::string& words,
                          const std::string& content) {
    return element("a", {{"href", "#" + id}, {"aria-label", words}},
                   element("title", {}, escaped(words)) + content);
  }

  [[nodiscard]] std::string description() const {
    std::string words = "In " + unit_of_first(told_.match()) + ", after each turn.";
    for (const Course& course : courses_) {
      double least = course.game.start;
      double most = least;
      for (const ReviewedTurn& turn : course.game.turns) {
        least = std::min(least, turn.value);
        most = std::max(most, turn.value);
      }
      const auto amount = [&](double value) {
        return with_minus_sign(amount_words(told_.match(), course.offset + value));
      };
      words += format(" Game {}: from {} to {}, between {} and {}.", course.game.number,
                      amount(course.game.start), amount(course.game.result), amount(least),
                      amount(most));
    }
    return words;
  }

  const MatchTold& told_;
  std::vector<Course> courses_;
  bool has_names_;
  double top_ = kTop;
  double low_ = 0.0;
  double high_ = 1.0;
};

}  // namespace

std::string game_course_svg(const MatchTold& told, const ReviewedGame& game) {
  return CourseChart(told, {{game, 0.0}}, false).svg(format("The course of game {}", game.number));
}

std::string match_course_svg(const MatchTold& told) {
  std::vector<Course> courses;
  double points = 0.0;
  for (const ReviewedGame& game : told.review.games) {
    courses.push_back({game, points});
    if (told.match().length == 0) points += game.result;
  }
  return CourseChart(told, std::move(courses), true).svg("The course of all games");
}

}  // namespace sixfold
