#include <cmath>
#include <nlohmann/json.hpp>

#include "rules/notation.h"
#include "study/flip.h"
#include "study/text_layout.h"

namespace sixfold {
namespace {

/// Beyond this the corners say little.
constexpr double kHighestPrice = 1.25;

bool on_plane(const GammonPrices& prices) {
  return prices.own <= kHighestPrice && prices.opponents <= kHighestPrice;
}

std::string name_of(const FlipStudy& study, std::size_t play) {
  return play_text(study.position, study.roll, study.flip.plays()[play]);
}

std::string plane_text(const Flip& flip) {
  std::string text = "opponent's gammon price\n";
  for (int j = Flip::kSteps; j >= 0; j -= 2) {
    text += format("  %.1f  ", static_cast<double>(j) / Flip::kSteps);
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
    text += padded(score, 15) + format("%.2f / %.2f    ", prices.own, prices.opponents) +
            padded(std::string(1, point.letter()) + " " + name_of(study, point.best), 23) +
            format("%.4f ± %.4f\n", point.lead.mean, point.lead.half_width);
  }
  return text;
}

std::string away_rows(const FlipStudy& study) {
  std::string text = "points to go: the opponent's from left to right, the roller's downwards;\n";
  text += "1 is the Crawford game, the cube at 1 and left out\n    ";
  for (int opponent = 1; opponent <= study.most_away; ++opponent) text += format(" %d", opponent);
  auto score = study.away.begin();
  for (int roller = 1; roller <= study.most_away; ++roller) {
    text += format("\n  %d ", roller);
    for (int opponent = 1; opponent <= study.most_away; ++opponent, ++score) {
      text += ' ';
      text += on_plane(score->prices) ? study.flip.at(score->prices).letter() : '.';
    }
  }
  return text + "\n";
}

std::string break_even_sentence(const FlipStudy& study, std::size_t other, bool own_price) {
  const BreakEven found = study.flip.break_even(0, other, own_price);
  const std::string whose = own_price ? "roller's" : "opponent's";
  const std::string plays = name_of(study, 0) + " and " + name_of(study, other);
  const std::string rest = own_price ? "opponent's" : "roller's";
  const std::string where = " gammons, the " + rest + " being .5";
  std::string ranges;
  for (const BreakEven::Stretch& stretch : found.open) {
    ranges += (ranges.empty() ? "" : ", ") + format("%.2f to %.2f", stretch.low, stretch.high);
  }
  if (found.open.size() == 1 && found.open[0].low <= 0.0 && found.open[0].high >= 1.0) {
    return plays + " can't be told apart at any price of the " + whose + where + ".";
  }
  const std::string equal =
      found.price ? format(" are equal at %.2f for the ", *found.price) + whose + where
                  : " are equal at no price from 0 to 1 of the " + whose + where;
  return plays + equal + (ranges.empty() ? "." : "; they can't be told apart at " + ranges + ".");
}

std::string check_rows(const FlipStudy& study) {
  std::string text = "prices         lead on the plane    rolled out there\n";
  for (const FlipCheck& check : study.checks) {
    text += format("%.2f / %.2f    ", check.plane.prices.own, check.plane.prices.opponents) +
            format("%+.4f ± %.4f     ", check.plane.lead.mean, check.plane.lead.half_width) +
            format("%+.4f ± %.4f\n", check.direct.mean, check.direct.half_width);
  }
  return text;
}

nlohmann::ordered_json estimate_json(const Estimate& estimate) {
  return {{"mean", estimate.mean}, {"half_width", estimate.half_width}};
}

nlohmann::ordered_json point_json(const FlipStudy& study, const FlipPoint& point) {
  return {{"prices", {{"roller", point.prices.own}, {"opponent", point.prices.opponents}}},
          {"best", name_of(study, point.best)},
          {"second", name_of(study, point.second)},
          {"lead", estimate_json(point.lead)}};
}

}  // namespace

std::string flip_text(const FlipStudy& study) {
  return "Position  " + position_text(study.position) + "\nRoll      " + roll_text(study.roll) +
         "\n\n" + board_text(study.position, study.roll, std::nullopt) + "\n" + flip_tables(study) +
         "\n" + flip_note(study);
}

std::string flip_tables(const FlipStudy& study) {
  std::string text = plane_text(study.flip) + "\n";
  for (std::size_t play = 0; play < study.flip.plays().size(); ++play) {
    text += std::string(1, static_cast<char>('A' + static_cast<int>(play))) + " " +
            name_of(study, play) + "\n";
  }
  text += "\n" + named_rows(study) + "\n" + away_rows(study) + "\n";
  text += wrapped(break_even_sentence(study, 1, true)) +
          wrapped(break_even_sentence(study, 1, false)) + "\n";
  return text + check_rows(study);
}

std::string flip_words(const FlipStudy& study) {
  return format(
             "A small letter: the lead is within its %g%% interval. Prices are what a "
             "gammon is worth beyond a single win, in units of a win against a loss. ",
             100.0 * study.settings.confidence) +
         format(
             "%llu trials of each of %zu plays at each corner of the plane, whose players adapt "
             "to the prices; between the corners outcomes are taken to change bilinearly, "
             "which the last table checks. The cube is left out. Seed %llu, net ",
             static_cast<unsigned long long>(whole_blocks(study.settings.trials)), study.looked_at,
             static_cast<unsigned long long>(study.settings.seed)) +
         study.net + format(". %.1f seconds.", study.seconds);
}

std::string flip_note(const FlipStudy& study) {
  return wrapped(flip_words(study) + format(" A dot is a score beyond %.2f.", kHighestPrice));
}

std::string break_even_words(const FlipStudy& study) {
  return break_even_sentence(study, 1, true) + "\n" + break_even_sentence(study, 1, false);
}

std::string flip_json(const FlipStudy& study) {
  nlohmann::ordered_json json;
  json["schema"] = "sixfold.flip/1";
  json["position"] = position_text(study.position);
  json["dice"] = roll_text(study.roll);
  json["net"] = study.net;
  json["seed"] = study.settings.seed;
  json["trials"] = whole_blocks(study.settings.trials);
  json["looked_at"] = study.looked_at;
  for (std::size_t i = 0; i < study.flip.plays().size(); ++i) {
    json["plays"].push_back(name_of(study, i));
  }
  for (int j = 0; j <= Flip::kSteps; ++j) {
    for (int i = 0; i <= Flip::kSteps; ++i) {
      json["plane"].push_back(
          point_json(study, study.flip.at({static_cast<double>(i) / Flip::kSteps,
                                           static_cast<double>(j) / Flip::kSteps})));
    }
  }
  for (const auto* scores : {&study.named, &study.away}) {
    for (const auto& [name, prices] : *scores) {
      nlohmann::ordered_json point = point_json(study, study.flip.at(prices));
      point["score"] = name;
      json["scores"].push_back(point);
    }
  }
  for (const bool own_price : {true, false}) {
    const BreakEven found = study.flip.break_even(0, 1, own_price);
    nlohmann::ordered_json entry;
    entry["of"] = own_price ? "roller" : "opponent";
    if (found.price) entry["price"] = *found.price;
    entry["open"] = nlohmann::ordered_json::array();
    for (const BreakEven::Stretch& stretch : found.open) {
      entry["open"].push_back({{"low", stretch.low}, {"high", stretch.high}});
    }
    json["break_even"].push_back(entry);
  }
  for (const FlipCheck& check : study.checks) {
    nlohmann::ordered_json entry = point_json(study, check.plane);
    entry["direct"] = estimate_json(check.direct);
    json["checks"].push_back(entry);
  }
  json["seconds"] = study.seconds;
  return json.dump();
}

}  // namespace sixfold
