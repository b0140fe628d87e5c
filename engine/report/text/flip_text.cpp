#include "report/text/flip_text.h"

#include <algorithm>

#include "base/format.h"
#include "report/text/board_text.h"
#include "report/text/layout.h"
#include "report/words/flip_words.h"
#include "rules/notation.h"

namespace sixfold {
namespace {

/// Beyond this the corners say little.
constexpr double kHighestPrice = 1.25;

bool on_plane(const GammonPrices& prices) {
  return prices.own <= kHighestPrice && prices.opponents <= kHighestPrice;
}

std::string plane_text(const Flip& flip) {
  std::string text = "opponent's gammon price\n";
  for (int j = Flip::kSteps; j >= 0; j -= 2) {
    text += format("  {:.1f}  ", static_cast<double>(j) / Flip::kSteps);
    for (int i = 0; i <= Flip::kSteps; ++i) {
      if (i > 0) text += ' ';
      text +=
          flip.at({static_cast<double>(i) / Flip::kSteps, static_cast<double>(j) / Flip::kSteps})
              .letter();
    }
    text += "\n";
  }
  return text + "       0.0       0.25      0.5       0.75      1.0  roller's gammon price\n";
}

std::string named_rows(const FlipStudy& study) {
  std::string text = "score          prices         best                   lead\n";
  for (const auto& [score, prices] : study.named) {
    const FlipPoint point = study.flip.at(prices);
    text += padded(score, 15) + format("{:.2f} / {:.2f}    ", prices.own, prices.opponents) +
            padded(std::string(1, point.letter()) + " " + play_name(study, point.best), 23) +
            format("{:.4f} ", point.lead.mean) + error_text(point.lead.half_width, 4) + "\n";
  }
  return text;
}

std::string away_rows(const FlipStudy& study) {
  std::string text = "points to go: the opponent's from left to right, the roller's downwards;\n";
  text += "1 is the Crawford game, the cube at 1 and left out\n    ";
  for (int opponent = 1; opponent <= study.most_away; ++opponent) text += format(" {}", opponent);
  auto score = study.away.begin();
  for (int roller = 1; roller <= study.most_away; ++roller) {
    text += format("\n  {} ", roller);
    for (int opponent = 1; opponent <= study.most_away; ++opponent, ++score) {
      text += ' ';
      text += on_plane(score->prices) ? study.flip.at(score->prices).letter() : '.';
    }
  }
  return text + "\n";
}

std::string check_rows(const FlipStudy& study) {
  std::string text = "prices         lead on the plane    rolled out there\n";
  for (const FlipCheck& check : study.checks) {
    text += format("{:.2f} / {:.2f}    ", check.plane.prices.own, check.plane.prices.opponents) +
            signed_interval(check.plane.lead, 4) + "     " + signed_interval(check.direct, 4) +
            "\n";
  }
  return text;
}

}  // namespace

std::string flip_text(const FlipStudy& study, const Telling& telling, TextStyle style) {
  return "Position  " + position_text(study.position) + "\nRoll      " + roll_text(study.roll) +
         "\n" + cube_line("left out") + "\n" +
         board_text(study.position, study.roll, std::nullopt, style) + "\n" + flip_tables(study) +
         "\n" + flip_note(study, telling);
}

std::string flip_tables(const FlipStudy& study) {
  std::string text = plane_text(study.flip) + "\n";
  for (std::size_t play = 0; play < study.flip.plays().size(); ++play) {
    text += std::string(1, static_cast<char>('A' + static_cast<int>(play))) + " " +
            play_name(study, play) + "\n";
  }
  text += "\n" + named_rows(study) + "\n" + away_rows(study) + "\n";
  text += wrapped(break_even_words(study, true)) + wrapped(break_even_words(study, false)) + "\n";
  return text + check_rows(study);
}

std::string flip_note(const FlipStudy& study, const Telling& telling) {
  const bool any_dot = std::any_of(study.away.begin(), study.away.end(),
                                   [](const auto& score) { return !on_plane(score.prices); });
  return wrapped(flip_words(study, telling) +
                 (any_dot ? format(" A dot is a score beyond {:.2f}.", kHighestPrice) : ""));
}

}  // namespace sixfold
