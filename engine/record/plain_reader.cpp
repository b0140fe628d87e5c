#include <algorithm>
#include <array>
#include <utility>

#include "base/input_error.h"
#include "base/text_reader.h"
#include "record/game_head.h"
#include "record/game_intake.h"
#include "record/plain.h"
#include "record/texts.h"
#include "rules/notation.h"

namespace sixfold {
namespace {

constexpr const char* kTurnForm =
    "a turn such as '31: 8/5 6/5', 'double', 'take', 'pass' or 'resigns single'";

/// The text behind a word and a blank, or nothing where the line does not begin so.
std::optional<std::string_view> behind_word(std::string_view line, std::string_view word) {
  if (word.empty() || line.size() <= word.size()) return std::nullopt;
  if (!is_same_word(line.substr(0, word.size()), word)) return std::nullopt;
  if (kBlank.find(line[word.size()]) == std::string_view::npos) return std::nullopt;
  return trimmed(line.substr(word.size()));
}

/// One or two whole numbers with a blank between; nothing for anything else.
std::vector<int> numbers_of(std::string_view text) {
  text = trimmed(text);
  const std::size_t blank = std::min(text.find_first_of(kBlank), text.size());
  std::vector<int> numbers;
  const auto first = whole_number(text.substr(0, blank));
  if (!first) return numbers;
  if (blank == text.size()) return {*first};
  const auto second = whole_number(text.substr(blank));
  if (!second) return numbers;
  return {*first, *second};
}

/// The comment behind a ';': a blank that parts them is none of it.
std::string_view comment_behind(std::string_view text) {
  return text.substr(!text.empty() && text.front() == ' ' ? 1 : 0);
}

bool is_player_number(int number) { return number == 1 || number == 2; }

/// What the lines between "game 1" and its first turn say.
struct PlainHead {
  GameHead head;
  Position start = start_position();
  int cube_value = 1;
  std::optional<int> cube_owner;
  std::string comment;
};

class PlainReader {
 public:
  ReadMatch read(std::string_view text) {
    const std::string clean = valid_utf8(without_mark(text));
    std::optional<std::string_view> rest = clean;
    while (rest) {
      const auto [line, behind] = split_at(*rest, '\n');
      rest = behind;
      ++line_;
      read_line(trimmed(line));
    }
    end_game();
    if (!has_game_) {
      read_.complaints.emplace_back("no game in the text; expected a line 'game 1' and its turns");
    }
    return std::move(read_);
  }

 private:
  [[nodiscard]] std::string place() const { return "line " + std::to_string(line_); }

  void complain(const std::string& text) { read_.complaints.push_back(place() + ": " + text); }

  void read_line(std::string_view line) {
    if (line.empty() || line.front() == '#') return;
    if (is_same_word(line, "game") || behind_word(line, "game")) {
      end_game();
      has_game_ = true;
      head_ = PlainHead{};
      is_left_out_ = false;
    } else if (!has_game_) {
      read_match_line(line);
    } else if (!is_left_out_) {
      read_game_line(line);
    }
  }

  void read_match_line(std::string_view line) {
    const auto [key, behind] = split_at(line, ':');
    RecordedMatch& match = read_.match;
    const std::string value = one_line(behind.value_or(""));
    const std::array<std::pair<const char*, std::string*>, 4> texts{{{"event", &match.event},
                                                                     {"date", &match.date},
                                                                     {"place", &match.place},
                                                                     {"round", &match.round}}};
    const auto text = std::find_if(texts.begin(), texts.end(), [&, name = key](const auto& known) {
      return is_same_word(trimmed(name), known.first);
    });
    if (behind && text != texts.end()) {
      *text->second = value;
    } else if (behind && is_same_word(trimmed(key), "player") && players_ < 2) {
      match.players[players_++] = value;
    } else if (behind && is_same_word(trimmed(key), "length")) {
      const auto length = whole_number(value);
      if (length && *length >= 0) {
        match.length = *length;
      } else {
        complain("'" + value + "' is no match length; expected 0 for money, or more");
      }
    } else {
      complain("'" + std::string(line) +
               "' is not understood; expected player: (twice), length:, event:, date:, place:, "
               "round: or game");
    }
  }

  void read_game_line(std::string_view line) {
    if (line.front() == ';') {
      add_comment(comment_behind(line.substr(1)));
      return;
    }
    const auto [key, behind] = split_at(line, ':');
    if (is_same_word(trimmed(key), "result")) {
      read_result(behind.value_or(""));
    } else if (!read_head_line(trimmed(key), trimmed(behind.value_or("")))) {
      read_turn_line(line);
    }
  }

  void add_comment(std::string_view text) {
    if (intake_) {
      intake_->comment(std::string(text));
      return;
    }
    if (!head_.comment.empty()) head_.comment += '\n';
    head_.comment += text;
  }

  void read_result(std::string_view text) {
    const std::vector<int> numbers = numbers_of(text);
    if (numbers.size() == 2 && is_player_number(numbers[0])) {
      result_ = ToldResult{numbers[0] - 1, numbers[1], false};
    } else {
      complain("'" + one_line(text) + "' is no result; expected 'result: 1 4', winner and points");
    }
  }

  /// False for what is no line of a game's head.
  bool read_head_line(std::string_view key, std::string_view value) {
    constexpr std::array<const char*, 5> kKeys{"score", "crawford", "jacoby", "start", "cube"};
    const bool is_known = std::any_of(kKeys.begin(), kKeys.end(),
                                      [&](const char* known) { return is_same_word(key, known); });
    if (!is_known) return false;
    if (intake_) {
      intake_->complain_and_break(
          place(), std::string(key) + " within the game; expected before its first turn");
    } else if (is_same_word(key, "crawford")) {
      head_.head.is_crawford = !is_same_word(value, "no");
    } else if (is_same_word(key, "jacoby")) {
      head_.head.jacoby = !is_same_word(value, "no");
    } else if (is_same_word(key, "score")) {
      read_score(value);
    } else {
      read_setup(key, value);
    }
    return true;
  }

  void read_score(std::string_view value) {
    const std::vector<int> numbers = numbers_of(value);
    if (numbers.size() == 2) {
      head_.head.score = {numbers[0], numbers[1]};
    } else {
      complain("'" + std::string(value) + "' is no score; expected two whole numbers");
    }
  }

  /// A start that cannot be leaves the game's turns out: they would be played from another.
  void read_setup(std::string_view key, std::string_view value) {
    try {
      if (is_same_word(key, "start")) {
        head_.start = parse_position(value);
        return;
      }
      const std::vector<int> numbers = numbers_of(value);
      if (numbers.empty() || !is_cube_value(numbers[0]) ||
          (numbers.size() > 1 && !is_player_number(numbers[1]))) {
        throw InputError("'" + std::string(value) + "' is no cube", "",
                         std::string(kCubeForm) + ", and the player who has it, such as 2 1");
      }
      head_.cube_value = numbers[0];
      if (numbers.size() > 1) head_.cube_owner = numbers[1] - 1;
    } catch (const InputError& error) {
      complain(std::string(error.what()) + "; the turns of game " +
               std::to_string(read_.match.games.size() + 1) + " are left out");
      is_set_up_wrong_ = true;
    }
  }

  /// False where the game is left out altogether.
  bool begin_turns() {
    if (intake_) return true;
    auto game = begin_game(read_, head_.head);
    if (!game) {
      is_left_out_ = true;
      return false;
    }
    game->start = head_.start;
    game->start_cube = head_.cube_value;
    game->start_cube_owner = head_.cube_owner;
    game->comment = head_.comment;
    intake_.emplace(read_, std::move(*game));
    if (is_set_up_wrong_) intake_->leave_out_rest();
    return true;
  }

  void end_game() {
    if (has_game_ && !is_left_out_ && begin_turns()) intake_->finish(result_, false);
    intake_.reset();
    result_.reset();
    is_set_up_wrong_ = false;
  }

  void read_turn_line(std::string_view line) {
    if (!begin_turns() || intake_->is_broken()) return;
    const auto [said, comment] = split_at(line, ';');
    const std::size_t before = intake_->replay().game().turns.size();
    const auto [player, turn] = player_and_turn(trimmed(said));
    if (!player) {
      intake_->complain_and_break(place(), "'" + std::string(turn) +
                                               "': who begins is not told; expected "
                                               "1 or 2 or a name before the first turn");
      return;
    }
    read_turn(*player, turn);
    const bool is_read = intake_->replay().game().turns.size() > before;
    if (is_read && comment && !trimmed(*comment).empty()) {
      intake_->comment(std::string(comment_behind(*comment)));
    }
  }

  /// Who takes the turn, as told or as it follows, and what is done.
  [[nodiscard]] std::pair<std::optional<int>, std::string_view> player_and_turn(
      std::string_view text) const {
    const auto& names = read_.match.players;
    // The longer name first: it may begin with the other.
    const int first = names[1].size() > names[0].size() ? 1 : 0;
    for (const int player : {0, 1}) {
      if (const auto turn = behind_word(text, std::to_string(player + 1))) return {player, *turn};
    }
    for (const int player : {first, 1 - first}) {
      const auto turn = behind_word(text, names[static_cast<std::size_t>(player)]);
      if (turn) return {player, *turn};
    }
    const Replay& replay = intake_->replay();
    // Behind the end whoever would have been next is complained about.
    const auto& turns = replay.game().turns;
    if (replay.is_over()) return {turns.empty() ? 0 : 1 - turns.back().player, text};
    return {replay.next(), text};
  }

  void read_turn(int player, std::string_view text) {
    const std::array<std::pair<const char*, TurnKind>, 3> cube_turns{
        {{"double", TurnKind::kDouble}, {"take", TurnKind::kTake}, {"pass", TurnKind::kPass}}};
    for (const auto& [word, kind] : cube_turns) {
      if (is_same_word(text, word)) return intake_->take_cube(place(), player, kind);
    }
    intake_->take(place(), [&](Replay& replay) {
      if (const auto size = behind_word(text, "resigns")) return resign(replay, player, *size);
      const auto [dice, play] = split_at(text, ':');
      if (!play) throw InputError("'" + std::string(text) + "' is not understood", "", kTurnForm);
      replay.require(player, TurnKind::kPlay);
      inside(player_text(read_.match.players, player) + "'s " + std::string(dice),
             [&, dice = dice, play = play] {
               const Roll roll = parse_roll(dice);
               const std::string_view written = trimmed(*play).empty() ? "no play" : *play;
               replay.play(player, roll, parse_play(replay.position(player), roll, written));
             });
    });
  }

  static void resign(Replay& replay, int player, std::string_view size) {
    constexpr std::array<const char*, 3> kSizes{"single", "gammon", "backgammon"};
    for (std::size_t i = 0; i < kSizes.size(); ++i) {
      if (is_same_word(size, kSizes[i])) return replay.resign(player, static_cast<int>(i) + 1);
    }
    throw InputError("'" + std::string(size) + "' cannot be resigned", "",
                     "single, gammon or backgammon");
  }

  ReadMatch read_;
  std::size_t players_ = 0;
  int line_ = 0;
  bool has_game_ = false;
  bool is_left_out_ = false;
  bool is_set_up_wrong_ = false;
  PlainHead head_;
  std::optional<GameIntake> intake_;
  std::optional<ToldResult> result_;
};

}  // namespace

ReadMatch read_plain(std::string_view text) { return PlainReader().read(text); }

}  // namespace sixfold
