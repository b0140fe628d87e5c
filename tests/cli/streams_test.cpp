// What the tool reads and writes: results on standard output, complaints on standard error, files
// whole or not at all.
#include <nlohmann/json.hpp>

#include "cli/tool.h"

namespace sixfold {
namespace {

using Json = nlohmann::json;

/// The tool says nothing on standard output, and on standard error what was wrong.
void check_complaint(const ToolRun& run, int status, const char* words) {
  INFO(run.errors);
  CHECK(run.status == status);
  CHECK(run.out.empty());
  CHECK_THAT(run.errors, Catch::Contains(words));
}

}  // namespace

TEST_CASE("Results go to standard output and nothing else is said") {
  const ToolRun run =
      run_tool({"evaluate", "--net", kNetFile, "--position", kStartText, "--dice", "31", "--json"});
  CHECK(run.status == 0);
  CHECK(run.errors.empty());
  REQUIRE(run.lines().size() == 1);
  const Json json = Json::parse(run.out);
  CHECK(json["plays"].size() == 16);
  CHECK(json["id"].is_null());
  CHECK_THAT(json["net"].get<std::string>(), Catch::StartsWith("standard/"));
}

TEST_CASE("Several scores give a line each") {
  const ToolRun run = run_tool({"evaluate", "--net", kNetFile, "--position", kStartText, "--score",
                                "money,dmp, gammon-go", "--json"});
  const auto lines = run.lines();
  REQUIRE(lines.size() == 3);
  CHECK(Json::parse(lines[0])["score"] == "money");
  CHECK(Json::parse(lines[2])["score"] == "gammon-go");
}

TEST_CASE("Complaints go to standard error with an exit code of their kind") {
  const std::vector<std::string> evaluate{"evaluate", "--net", kNetFile, "--position"};
  const auto with = [&](std::vector<std::string> more) {
    more.insert(more.begin(), evaluate.begin(), evaluate.end());
    return run_tool(more);
  };
  check_complaint(with({"24x2 13x5 8x3 6x6 / 24x2"}), 1, "position");
  check_complaint(with({kStartText, "--dice", "31", "--score", "love"}), 1, "not a known score");
  check_complaint(with({kStartText, "--checkers", "16"}), 1, "1 to 15");
  check_complaint(with({kStartText, "--after", "31: 8/5 6/5"}), 1, "one of position and after");
  check_complaint(with({kStartText, "--isa", "none"}), 1, "instruction set");
  check_complaint(with({kStartText, "--colour"}), 2, "--colour");
  check_complaint(run_tool({}), 2, "subcommand");
}

TEST_CASE("Help is no error") {
  const ToolRun run = run_tool({"rollout", "--help"});
  CHECK(run.status == 0);
  CHECK(run.errors.empty());
  CHECK_THAT(run.out, Catch::Contains("--half-width"));
}

TEST_CASE("Help leaves the options for checks out, and its last line says how to see them") {
  for (const char* command : {"rollout", "cube", "flip", "lesson"}) {
    const ToolRun help = run_tool({command, "--help"});
    const ToolRun all = run_tool({command, "--help-all"});
    INFO(help.out << all.out << all.errors);
    CHECK(help.status == 0);
    CHECK(all.status == 0);
    CHECK(all.errors.empty());
    REQUIRE_FALSE(help.lines().empty());
    CHECK_THAT(help.lines().back(), Catch::Contains("--help-all"));
    for (const char* option : {"--plain", "--free-dice", "--play-on"}) {
      CHECK_THAT(help.out, !Catch::Contains(option));
      CHECK_THAT(all.out, Catch::Contains(option));
    }
  }
}

TEST_CASE("Requests are read from standard input, and a rollout answers the bad ones in place") {
  const Room room;
  write_bytes(room / "requests",
              "{\"id\":\"first\",\"position\":\"1x3 / 5 2\",\"dice\":\"21\"}\n"
              "\n"
              "{\"id\":[2],\"position\":\"1x3 / 5 2\"}\n"
              "[1]\n"
              "{\"id\":4,\"position\":\"1x3 / 5 2\",\"dice\":\"21\",\"checkers\":0}\n"
              "{\"id\":5,\"position\":\"1x3 / 5 2\",\"dice\":\"12\",\"score\":\"dmp\"}");
  Streams streams;
  streams.input = (room / "requests").string();
  const ToolRun run = run_tool(
      {"rollout", "--net", kNetFile, "--requests", "-", "--trials", "36", "--half-width", "0"},
      streams);
  CHECK(run.status == 1);
  CHECK_THAT(run.errors, Catch::Contains("3 of 5 requests have no answer"));
  const auto lines = run.lines();
  REQUIRE(lines.size() == 5);
  CHECK(Json::parse(lines[0])["id"] == "first");
  CHECK(Json::parse(lines[0])["plays"][0]["play"] == "1/off(2)");
  CHECK(Json::parse(lines[1])["id"] == Json::parse("[2]"));
  CHECK_THAT(Json::parse(lines[1])["error"].get<std::string>(),
             Catch::Contains("requests line 3") && Catch::Contains("dice"));
  CHECK(Json::parse(lines[1])["schema"] == "sixfold.error/1");
  CHECK(Json::parse(lines[1])["line"] == 3);
  CHECK(Json::parse(lines[2])["id"].is_null());
  CHECK_THAT(Json::parse(lines[3])["error"].get<std::string>(), Catch::Contains("1 to 15"));
  CHECK(Json::parse(lines[4])["match_winning_chance"].is_null());
  CHECK(Json::parse(lines[4])["plays"][0].contains("match_winning_chance"));
}

TEST_CASE("What a request leaves out is what the command line says") {
  const Room room;
  write_bytes(room / "requests", "{\"id\":1,\"position\":\"1x3 / 5 2\"}\n");
  const ToolRun run = run_tool({"evaluate", "--net", kNetFile, "--requests",
                                (room / "requests").string(), "--dice", "21", "--score", "dmp"});
  const Json json = Json::parse(run.out);
  CHECK(json["dice"] == "21");
  CHECK(json["score"] == "dmp");
}

TEST_CASE("A net whose name is no text is no internal error") {
  const Room room;
  const std::string odd = (room / "net\xff.safetensors").string();
  std::filesystem::copy_file(kNetFile, odd);
  const ToolRun run = run_tool({"evaluate", "--net", odd, "--position", kStartText, "--json"});
  INFO(run.errors);
  CHECK((run.status == 0 || run.status == 1));
}

TEST_CASE("The reports of a net whose name is no text are read as JSON") {
  const Room room;
  const std::string odd = (room / "net\xff.safetensors").string();
  std::filesystem::copy_file(kNetFile, odd);
  const ToolRun duel = run_tool({"duel", odd, kNetFile, "--pairs", "2", "--json"});
  INFO(duel.errors);
  REQUIRE(duel.status == 0);
  CHECK_THAT(Json::parse(duel.out)["first"].get<std::string>(),
             Catch::StartsWith("net\xef\xbf\xbd/"));
  const ToolRun flip =
      run_tool({"flip", "--net", odd, "--position", "6 5 3 / 6 4 2", "--checkers", "3", "--dice",
                "21", "--trials", "36", "--half-width", "0", "--json"});
  INFO(flip.errors);
  REQUIRE(flip.status == 0);
  CHECK_THAT(Json::parse(flip.out)["net"].get<std::string>(),
             Catch::StartsWith("net\xef\xbf\xbd/"));
}

TEST_CASE("The same roll twice is refused in a lesson's options as in its file") {
  const ToolRun run = run_tool({"lesson", "--net", kNetFile, "--position", "1x3 / 5 2", "--dice",
                                "21,12", "--trials", "36", "--half-width", "0"});
  check_complaint(run, 1, "duplicate");
}

TEST_CASE("The tool finds the net that lies beside its directory") {
  const Room room;
  std::filesystem::create_directory(room / "build");
  std::filesystem::create_directory(room / "nets");
  std::filesystem::copy_file(SIXFOLD_TOOL, room / "build/sixfold");
  const std::vector<std::string> arguments{"evaluate", "--position", kStartText, "--json"};
  const std::string program = (room / "build/sixfold").string();
  check_complaint(run_tool(arguments, {}, program), 1, "standard.safetensors");
  std::filesystem::copy_file(kNetFile, room / "nets/standard.safetensors");
  CHECK(run_tool(arguments, {}, program).status == 0);
}

TEST_CASE("The tool finds the net of its own directory before others") {
  const Room room;
  std::filesystem::create_directories(room / "build/nets");
  std::filesystem::create_directory(room / "nets");
  std::ofstream(room / "nets/standard.safetensors") << "no network";
  std::filesystem::copy_file(SIXFOLD_TOOL, room / "build/sixfold");
  std::filesystem::copy_file(kNetFile, room / "build/nets/standard.safetensors");
  const std::string program = (room / "build/sixfold").string();
  CHECK(run_tool({"evaluate", "--position", kStartText, "--json"}, {}, program).status == 0);
}

TEST_CASE("Results that cannot be written are an error") {
  if (!std::filesystem::exists("/dev/full")) return;
  Streams streams;
  streams.output = "/dev/full";
  const ToolRun run = run_tool({"evaluate", "--net", kNetFile, "--position", kStartText}, streams);
  check_complaint(run, 1, "standard output");
}

TEST_CASE("Training into a place that cannot be written to fails at once and leaves nothing") {
  const Room room;
  const std::vector<std::string> train{"train", "--recipe", "quick", "--games", "400", "--out"};
  const auto to = [&](const std::string& out) {
    auto arguments = train;
    arguments.push_back((room / out).string());
    return run_tool(arguments);
  };
  check_complaint(to("missing/net"), 1, "missing");
  CHECK(room.count() == 0);
  std::filesystem::create_directory(room / "taken");
  check_complaint(to("taken"), 1, "taken");
  CHECK(room.count() == 1);
}

TEST_CASE("A duel of a net with itself is even, in JSON too") {
  const ToolRun run = run_tool({"duel", kNetFile, kNetFile, "--pairs", "4", "--json"});
  CHECK(run.status == 0);
  const Json json = Json::parse(run.out);
  CHECK(json["schema"] == "sixfold.duel/1");
  CHECK(json["pairs"] == 4);
  CHECK(json["first"] == json["second"]);
  CHECK(json["points_per_game"]["mean"] == 0.0);
  CHECK(json["win_fraction"] == 0.5);
}

}  // namespace sixfold
