#include <algorithm>
#include <utility>

#include "base/input_error.h"
#include "base/text_reader.h"
#include "record/game_intake.h"
#include "record/sgf.h"
#include "record/sgf_head.h"
#include "record/sgf_points.h"
#include "record/texts.h"
#include "rules/notation.h"

namespace sixfold {
namespace {

std::string line_text(int line) { return "line " + std::to_string(line); }

bool is_move(const SgfProperty& property) { return property.name == "W" || property.name == "B"; }

bool has_move(const SgfNode& node) {
  return std::any_of(node.properties.begin(), node.properties.end(), is_move);
}

/// What `value` does with the cube; nothing for a play.
std::optional<TurnKind> cube_turn(std::string_view value) {
  if (is_same_word(value, "double")) return TurnKind::kDouble;
  if (is_same_word(value, "take")) return TurnKind::kTake;
  if (is_same_word(value, "drop")) return TurnKind::kPass;
  return std::nullopt;
}

class SgfReader {
 public:
  ReadMatch read(std::string_view text) {
    const std::string_view inside = without_mark(text);
    if (inside.size() < text.size()) characters_ = SgfCharacters::kUtf8;
    const auto trees = read_sgf_trees(inside, read_.complaints);
    if (trees.empty()) {
      read_.complaints.emplace_back("no game in the text; expected '(;GM[6]' and so on");
    }
    for (const SgfTree& tree : trees) read_tree(tree);
    return std::move(read_);
  }

 private:
  void read_tree(const SgfTree& tree) {
    const std::string where = line_text(tree.line) + ": ";
    if (tree.nodes.empty()) {
      if (!tree.is_cut_off) read_.complaints.push_back(where + "a game without nodes");
      return;
    }
    const SgfNode& root = tree.nodes.front();
    const auto kind = value_of(root, "GM");
    if (kind && trimmed(*kind) != "6") {
      read_.complaints.push_back(where + "a game of another kind, GM[" +
                                 one_line(valid_utf8(*kind)) + "], skipped; expected GM[6]");
      return;
    }
    if (const auto name = value_of(root, "CA")) read_characters(*name, where);
    std::vector<std::string> notes;
    const SgfRootFacts facts = root_facts(root, notes);
    note_all(where, notes);
    if (!read_match_facts(root, facts, where)) return;
    if (auto game = begin_game(read_, facts.head)) read_game(tree, facts, std::move(*game));
  }

  void read_characters(std::string_view name, const std::string& where) {
    characters_ = characters_named(name);
    if (characters_ != SgfCharacters::kOther) return;
    read_.notes.push_back(where + "characters of " + one_line(valid_utf8(name)) +
                          " are not known; what is no UTF-8 is replaced");
  }

  /// Those of the first game are the match's; false for a game of another match, and for a length
  /// that cannot be.
  bool read_match_facts(const SgfNode& root, const SgfRootFacts& facts, const std::string& where) {
    const auto line_of = [&](const char* name) {
      return sgf_line(value_of(root, name).value_or(""), characters_);
    };
    RecordedMatch& match = read_.match;
    const std::array<std::string, 2> players{line_of("PW"), line_of("PB")};
    if (!has_head_) {
      if (facts.length.value_or(0) < 0) {
        read_.complaints.push_back(where + "a match length of " + std::to_string(*facts.length) +
                                   "; expected 0 for money, or more; the game is left out");
        return false;
      }
      has_head_ = true;
      match.players = players;
      match.length = facts.length.value_or(0);
      match.event = line_of("EV");
      match.date = line_of("DT");
      match.place = line_of("PC");
      match.round = line_of("RO");
      return true;
    }
    const bool is_same =
        (players == match.players || (!value_of(root, "PW") && !value_of(root, "PB"))) &&
        facts.length.value_or(match.length) == match.length;
    if (!is_same) {
      read_.complaints.push_back(where + "a game of another match, left out; expected players '" +
                                 match.players[0] + "' and '" + match.players[1] + "' and length " +
                                 std::to_string(match.length));
    }
    return is_same;
  }

  /// As the nodes up to the first move set it up; nothing, with a complaint, for what cannot be.
  std::optional<SgfSetup> setup_of(const SgfTree& tree, std::size_t first_move) {
    const std::string where = "game " + std::to_string(read_.match.games.size() + 1);
    std::vector<std::string> notes;
    try {
      SgfSetup setup;
      for (std::size_t i = 0; i < std::min(first_move + 1, tree.nodes.size()); ++i) {
        setup.read(tree.nodes[i], notes);
      }
      note_all(where + ": ", notes);
      return setup;
    } catch (const InputError& error) {
      read_.complaints.push_back(where + ", its start: " + error.what() +
                                 "; its turns are left out");
      return std::nullopt;
    }
  }

  void note_all(const std::string& where, const std::vector<std::string>& notes) {
    for (const std::string& note : notes) read_.notes.push_back(where + note);
  }

  void read_game(const SgfTree& tree, const SgfRootFacts& facts, RecordedGame game) {
    const std::size_t first_move = static_cast<std::size_t>(
        std::find_if(tree.nodes.begin(), tree.nodes.end(), has_move) - tree.nodes.begin());
    const std::optional<SgfSetup> read_setup = setup_of(tree, first_move);
    const SgfSetup setup = read_setup.value_or(SgfSetup{});
    game.start = setup.start;
    game.start_cube = setup.cube_value;
    game.start_cube_owner = setup.cube_owner;
    GameIntake intake(read_, std::move(game));
    if (tree.variations > 0) {
      intake.note("variations passed over: " + std::to_string(tree.variations));
    }
    dice_ = setup.dice;
    if (!read_setup) intake.leave_out_rest();
    if (setup.on_roll) {
      intake.take(line_text(tree.line), [&](Replay& replay) { replay.begin(*setup.on_roll); });
    }
    for (std::size_t i = 0; i < tree.nodes.size() && !intake.is_broken(); ++i) {
      read_node(tree.nodes[i], i > first_move, intake);
    }
    intake.finish(facts.result, tree.is_cut_off);
  }

  void read_node(const SgfNode& node, bool is_behind_move, GameIntake& intake) {
    for (const SgfProperty& property : node.properties) {
      if (intake.is_broken()) return;
      if (is_move(property)) read_move(property, intake);
      if (is_behind_move && is_setup(property.name)) {
        intake.complain_and_break(line_text(property.line),
                                  std::string(property.name) +
                                      " sets up within the game; expected before the first turn");
      }
    }
    if (const auto text = value_of(node, "C")) {
      const std::string comment = sgf_lines(*text, characters_);
      if (!comment.empty()) intake.comment(comment);
    }
  }

  void read_move(const SgfProperty& property, GameIntake& intake) {
    const std::string place = line_text(property.line);
    const int player = property.name == "W" ? 0 : 1;
    const std::string text = one_line(valid_utf8(property.values.front()));
    if (const auto kind = cube_turn(text)) {
      intake.take_cube(place, player, *kind);
      return;
    }
    const std::string what = player_text(read_.match.players, player) + "'s " +
                             std::string(property.name) + "[" + text + "]";
    intake.take(place, [&](Replay& replay) {
      replay.require(player, TurnKind::kPlay);
      inside(what, [&] { read_play(text, player, replay, intake); });
    });
  }

  void read_play(std::string_view text, int player, Replay& replay, GameIntake& intake) {
    const std::size_t dice = std::min<std::size_t>(2, text.size());
    const Roll roll = parse_roll(text.substr(0, dice));
    const MeantPlay meant = meant_play(replay.position(player), roll, text.substr(dice), player);
    replay.play(player, roll, meant.play);
    note_dice(roll, intake);
    if (meant.is_guess) {
      intake.note("turn " + std::to_string(replay.game().turns.size()) +
                  " hits by either way; read as the larger die first");
    }
  }

  /// Of the first play: whether it has the dice that were set up.
  void note_dice(Roll roll, GameIntake& intake) {
    if (dice_ && *dice_ != roll) {
      intake.note("set up with the dice " + roll_text(*dice_) + ", but played with " +
                  roll_text(roll));
    }
    dice_.reset();
  }

  ReadMatch read_;
  SgfCharacters characters_ = SgfCharacters::kLatin1;
  bool has_head_ = false;
  std::optional<Roll> dice_;
};

}  // namespace

ReadMatch read_sgf(std::string_view text) { return SgfReader().read(text); }

}  // namespace sixfold
