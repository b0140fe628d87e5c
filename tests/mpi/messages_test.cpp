// What ranks are told, and who is refused: without MPI.
#include "tools/mpi/messages.h"

#include <catch2/catch.hpp>
#include <thread>

#include "base/input_error.h"

namespace sixfold::tools {
namespace {

Setup setup() {
  NetworkFile net = load_network(std::filesystem::path(SIXFOLD_NETS) / "standard.safetensors");
  MatchModel model = kMatchModel;
  model.gammon_share = 0.3;
  NetworkFile opponent = net;
  opponent.luck.reset();
  return {std::string(Engine::version()),
          {"mine", std::move(net), MatchEquityTable(model), "his", std::move(opponent)},
          "/cache",
          "scalar",
          7,
          3,
          5};
}

const MemberIdentity kOurs{"node1", "1.0", "standard/0123", "6 points, 4567"};

}  // namespace

TEST_CASE("What members are told arrives as it is, to the bit") {
  const Setup sent = setup();
  const std::optional<Setup> found = setup_of(setup_bytes(sent));
  REQUIRE(found);
  CHECK(found->files.net_name == "mine");
  CHECK(found->files.net == sent.files.net);
  CHECK(found->files.opponent_name == "his");
  CHECK(found->files.opponent == sent.files.opponent);
  for (int away = 1; away <= kMostAway; ++away) {
    for (int other = 1; other <= kMostAway; ++other) {
      CHECK(found->files.match_table.chance(away, other) ==
            sent.files.match_table.chance(away, other));
    }
    CHECK(found->files.match_table.after_crawford(away) ==
          sent.files.match_table.after_crawford(away));
  }
  CHECK(found->cache == "/cache");
  CHECK(found->instruction_set == "scalar");
  CHECK(found->race_points == 7);
  CHECK(found->threads == 3);
  CHECK(found->nice == 5);
}

TEST_CASE("What another version says is not read beyond the version") {
  Setup other = setup();
  other.version = "0.0.0";
  CHECK_FALSE(setup_of(setup_bytes(other)));
  const std::string bytes = setup_bytes(setup());
  CHECK_THROWS_AS(setup_of(bytes.substr(0, bytes.size() / 2)), InputError);
}

TEST_CASE("A rank that would play otherwise is refused by name") {
  const MemberIdentity same = take_identity(identity_bytes(kOurs));
  CHECK_NOTHROW(require_same(2, same, kOurs));
  MemberIdentity elsewhere = same;
  elsewhere.host = "node7";
  CHECK_NOTHROW(require_same(2, elsewhere, kOurs));
  const auto refused = [&](const MemberIdentity& other) {
    try {
      require_same(3, other, kOurs);
    } catch (const InputError& error) {
      return std::string(error.what());
    }
    return std::string("not refused");
  };
  MemberIdentity other = elsewhere;
  other.version = "1.1";
  CHECK(refused(other) ==
        "rank 3 on node7: has version 1.1; expected version 1.0, as rank 0 on node1 has");
  other = elsewhere;
  other.net = "own/89ab";
  CHECK(refused(other) ==
        "rank 3 on node7: has net own/89ab; expected net standard/0123, as rank 0 on node1 has");
  other = elsewhere;
  other.tables = "6 points, 0000";
  CHECK(refused(other).starts_with("rank 3 on node7: has tables 6 points, 0000; expected tables"));
}

TEST_CASE("A core says which tables it has, and others that have the same say the same") {
  const Setup told = setup();
  EngineOptions options;
  options.threads = 2;
  options.race_points = 6;
  const MemberIdentity first = identity_of(Core(told.files, options));
  CHECK(first.net.starts_with("mine/"));
  CHECK_NOTHROW(require_same(1, identity_of(Core(told.files, options)), first));
  Setup alone = told;
  alone.files.opponent.reset();
  CHECK_THROWS_AS(require_same(1, identity_of(Core(alone.files, options)), first), InputError);
  options.race_points = 0;
  CHECK_THROWS_AS(require_same(1, identity_of(Core(told.files, options)), first), InputError);
}

TEST_CASE("Messages come out in the order in which they were put in, by whatever thread") {
  Mailbox mail;
  CHECK_FALSE(mail.take());
  const std::jthread sender([&] {
    for (int i = 0; i < 1000; ++i) mail.put({MessageKind::kNote, std::to_string(i)});
  });
  for (int i = 0; i < 1000; ++i) CHECK(mail.wait().body == std::to_string(i));
  CHECK_FALSE(mail.take());
}

}  // namespace sixfold::tools
