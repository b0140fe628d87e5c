/// Sixfold's front door: everything that a program needs to ask which play is right.
///
///   sixfold::Engine engine({.net = "nets/standard.safetensors"});
///   const auto rolled = engine.rollout({.after = "31: 8/5 6/5", .dice = "64"});
///   for (const sixfold::PlayAnswer& play : rolled.plays()) { ... }
///
/// An Engine owns what answers are computed with: the net, its luck networks, tables of what is
/// known exactly, the match equity table, and threads. Questions are texts, as on the command line;
/// answers are numbers with their errors, and say what made them. Defaults are the fast ones.
/// An Engine belongs to one thread at a time; several Engines share nothing that is written to.
/// Whatever is wrong with a question or a file is a std::runtime_error that says what, where, and
/// what was expected.
#pragma once

#include <array>
#include <atomic>
#include <cstdint>
#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace sixfold {

/// Of what this header declares: rises when a program that was built against an earlier one has to
/// be built, or changed, anew. Engine::api_version() is that of the library it was linked to.
inline constexpr int kApiVersion = 2;

// What the project's own reports read; see the accessors named study().
struct CubeStudy;
struct Evaluation;
struct Lesson;
struct RolledDecision;
class Core;

struct EngineOptions {
  std::filesystem::path net{};  ///< Network file, such as the one that comes with Sixfold.
  /// Network file by which the opponent plays, doubles and takes in the trials of rollouts: the
  /// side that is not on roll in the question. Empty: by `net` as well.
  std::filesystem::path opponent_net{};
  std::filesystem::path match_table{};  ///< Match equities as CSV; empty: those of our own.
  /// Where tables are kept from one run to the next; empty: they are computed each time, those of
  /// bear-offs in about a second.
  std::filesystem::path cache{};
  int threads = 0;                ///< 0: as many as the machine has.
  std::string instruction_set{};  ///< scalar, avx2, avx512, neon; empty: the best here.
  int race_points = 6;  ///< How far from home the table of lone bear-offs reaches, to 10; 0: no
                        ///< tables at all.
  /// Gets a line about what is out of order but does no harm, such as a damaged table.
  std::function<void(const std::string&)> note{};
};

/// A position at a score, with a roll to be played or before the dice. README.md says how positions
/// and plays are written.
struct Question {
  std::string position{};  ///< "ROLLER / OPPONENT", each side's points numbered its own way; or
  std::string after{};     ///< the plays that led to it from the start: "31: 8/5 6/5, 64: 24/14".
  std::string dice{};      ///< "64"; empty: before the dice.
  std::string plays{};  ///< Of a rollout: "24/14; 13/9 13/7", these alone; empty: every legal one.
  std::string score{"money"};  ///< "dmp", "gammon-go", "3-away/5-away", ...
  /// "centred", "roller:2", "opponent:4"; "none": left out. Empty: centred wherever somebody may
  /// double, at other scores left out.
  std::string cube{};
  bool jacoby = false;            ///< At money: gammons count once the cube has been turned.
  bool beavers = false;           ///< At money: whoever is doubled may redouble at once.
  int checkers = 15;              ///< A side, 1 to 15.
  bool both_from_roller = false;  ///< The position's points are all numbered the roller's way.
};

/// How much is rolled out, and how.
struct Rolling {
  std::uint64_t trials = 144;  ///< For every play.
  /// Plays that may be best, the closest to them and those that are named go on until their costs
  /// are known this well; 0: none goes on.
  double half_width = 0.01;
  std::uint64_t most_trials = 57600;  ///< Of each play that goes on.
  double confidence = 0.95;           ///< Of all intervals.
  std::uint64_t seed = 1;
  std::optional<double> error{};    ///< Cost from which a play is an error to you, and
  std::optional<double> blunder{};  ///< a blunder.
  int lookahead = 0;                ///< Rolls that players look ahead, 0 or 1.
  int truncate = 0;                 ///< Plies after which trials end by the net's value; 0: never.
  std::string luck{"auto"};  ///< Luck is taken out by the net's luck networks ("net"; "auto" where
                             ///< it has some), by all plays of all rolls ("full"), or left in
                             ///< ("none").
  bool plain = false;        ///< For checks: no variance reduction.
  bool free_dice = false;    ///< For checks: the first rolls at random too.
  bool play_on = false;      ///< For checks: trials go on where tables know how they end.
};

/// How far a rollout has come.
struct WorkProgress {
  std::uint64_t trials_done = 0;
  std::uint64_t trials_expected = 0;  ///< In all, as far as can be foreseen.
  /// The widest of the contested costs; nothing before they are looked at.
  std::optional<double> half_width{};
  /// Which rollout of the question it is, from 0: a lesson has one for each cell, and several for
  /// each roll that is looked at at all scores.
  std::size_t rollout = 0;
};

/// Long work can be stopped from another thread or a signal, and watched.
struct Watch {
  const std::atomic<bool>* stop = nullptr;  ///< When set, what is known so far is the answer.
  std::function<void(const WorkProgress&)> progress{};  ///< Called from any thread.
};

/// The six outcomes in their order: lost backgammon, gammon, single game; won single game, gammon,
/// backgammon; of the side on roll, or of the player who makes the play.
using SixOutcomes = std::array<double, 6>;

struct Measured {
  double mean = 0.0;
  double standard_error = 0.0;
  double half_width = 0.0;  ///< Of the interval.
};

struct PlayAnswer {
  std::string play;    ///< In standard notation.
  std::string result;  ///< The position for the next player.
  SixOutcomes outcomes{};
  double equity = 0.0;           ///< With the cube, where there is one.
  double cubeless_equity = 0.0;  ///< Of the outcomes, the cube dead at its present value.
  double cost = 0.0;             ///< Against the best play.
  bool is_exact = false;         ///< The equity.
};

struct RolledPlayAnswer {
  std::string play;
  std::string result;
  std::uint64_t trials = 0;
  std::array<Measured, 6> outcomes{};
  Measured equity;           ///< With the cube, where there is one.
  Measured cubeless_equity;  ///< Of the outcomes, the cube dead at its present value.
  Measured cost;             ///< Against the best play, from trials on the same dice.
  /// Of a play that was soon set aside as being behind: it costs at least so much.
  std::optional<double> at_least;
  double best_probability = 0.0;
};

/// A legal play of a roll.
struct LegalPlay {
  std::string play;    ///< In standard notation; "no play" where there is none.
  std::string result;  ///< The position for the next player.
};

/// What made an answer.
struct MadeBy {
  std::string net;           ///< Its file's name and what its weights hash to.
  std::string version;       ///< Of Sixfold.
  Rolling rolling;           ///< Settings and seed, where it was rolled out.
  std::string opponent_net;  ///< The opponent's, where it was rolled out against one of his own.
};

/// An answer, what made it, and the study behind it, which the project's own reports tell.
template <typename Study>
class AnswerOf {
 public:
  AnswerOf(std::shared_ptr<const Study> study, MadeBy made_by)
      : study_(std::move(study)), made_by_(std::move(made_by)) {}
  [[nodiscard]] const MadeBy& made_by() const noexcept { return made_by_; }
  [[nodiscard]] const Study& study() const noexcept { return *study_; }

 private:
  std::shared_ptr<const Study> study_;
  MadeBy made_by_;
};

/// Static values: those of the plays of a roll, best first, or of the position before the dice.
class EvaluationAnswer : public AnswerOf<Evaluation> {
 public:
  using AnswerOf::AnswerOf;
  [[nodiscard]] std::vector<PlayAnswer> plays() const;  ///< Empty before the dice.
  [[nodiscard]] SixOutcomes outcomes() const;           ///< Before the dice.
  /// The same: with a cube what he gets who doubles or not, as is right.
  [[nodiscard]] double equity() const;
  [[nodiscard]] double cubeless_equity() const;  ///< Before the dice.
};

/// Every legal play of a roll, rolled out, best first.
class RolloutAnswer : public AnswerOf<RolledDecision> {
 public:
  using AnswerOf::AnswerOf;
  /// Empty where it was stopped before every play had its first trials.
  [[nodiscard]] std::vector<RolledPlayAnswer> plays() const;
  [[nodiscard]] bool interrupted() const;
};

/// A doubling decision, in equity for each unit of the present cube.
class CubeAnswer : public AnswerOf<CubeStudy> {
 public:
  using AnswerOf::AnswerOf;
  [[nodiscard]] double no_double() const;
  [[nodiscard]] std::optional<double> double_take() const;  ///< Nothing where he may not double.
  [[nodiscard]] std::optional<double> double_pass() const;
  [[nodiscard]] std::string action() const;  ///< "no double", "double, take", ...
};

/// One position, several rolls, several scores.
struct LessonQuestion {
  Question position{};               ///< Its dice and score do not count.
  std::vector<std::string> rolls{};  ///< "31", "64"
  std::vector<std::string> scores{"money", "dmp", "gammon-go", "gammon-save"};
};

class LessonAnswer : public AnswerOf<Lesson> {
 public:
  using AnswerOf::AnswerOf;
  /// One roll at one score; by rolls, then scores. Fewer than asked for when stopped.
  struct Cell {
    std::string roll;
    std::string score;
    std::vector<RolledPlayAnswer> plays;
  };
  [[nodiscard]] std::vector<Cell> cells() const;
  [[nodiscard]] bool interrupted() const;
};

class Engine {
 public:
  /// Throws for a net, a table or an instruction set that can't be used.
  explicit Engine(const EngineOptions& options = {});
  /// Another one of the same net and tables, for another thread: reads no files, and shares the
  /// tables, which only are read.
  [[nodiscard]] Engine twin() const;
  Engine(Engine&&) noexcept;
  Engine& operator=(Engine&&) noexcept;
  ~Engine();

  /// Static values, at once. All of these throw for what cannot be asked.
  [[nodiscard]] EvaluationAnswer evaluate(const Question& question);
  [[nodiscard]] RolloutAnswer rollout(const Question& question, const Rolling& rolling = {},
                                      const Watch& watch = {});
  /// By the model or, where it is known, exactly; with `rolling`, rolled out. Without a word of the
  /// cube it is in the middle, at every score; throws where it is said to be left out. Nothing when
  /// stopped before both actions had their first trials.
  [[nodiscard]] std::optional<CubeAnswer> cube(const Question& question,
                                               const std::optional<Rolling>& rolling = {},
                                               const Watch& watch = {});
  [[nodiscard]] LessonAnswer lesson(const LessonQuestion& question, const Rolling& rolling = {},
                                    const Watch& watch = {});

  /// How positions end before the dice, from the view of the side on roll, as evaluate() says it;
  /// many at once, on all threads. `checkers` a side. A complaint names the position by its number,
  /// from 0.
  [[nodiscard]] std::vector<SixOutcomes> distributions(std::span<const std::string> positions,
                                                       int checkers = 15);
  /// Every legal play of the question's roll, one for each position that results.
  [[nodiscard]] std::vector<LegalPlay> legal_plays(const Question& question) const;
  /// One of them, its parts in any order. A play that is none is refused with the legal ones named.
  [[nodiscard]] LegalPlay play(const Question& question, const std::string& play) const;

  [[nodiscard]] const std::string& net() const noexcept;
  [[nodiscard]] static std::string_view version() noexcept;
  [[nodiscard]] static int api_version() noexcept;

  /// The parts, for the project's own programs: session/core.h.
  [[nodiscard]] Core& core() noexcept { return *core_; }
  [[nodiscard]] const Core& core() const noexcept { return *core_; }

 private:
  explicit Engine(std::unique_ptr<Core> core) noexcept;
  [[nodiscard]] MadeBy made_by(const Rolling& rolling) const;
  [[nodiscard]] MadeBy rolled_by(const Rolling& rolling) const;

  std::unique_ptr<Core> core_;
};

}  // namespace sixfold
