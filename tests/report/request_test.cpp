#include "report/json/request.h"

#include <catch2/catch.hpp>

#include "base/input_error.h"

namespace sixfold {
namespace {

std::string refusal(const std::string& line) {
  std::string id = "null";
  try {
    (void)parse_request(line, id);
  } catch (const InputError& error) {
    return id + ": " + error.what();
  }
  return "accepted";
}

}  // namespace

TEST_CASE("A request is read field by field, and what it leaves out stays open") {
  std::string id = "null";
  const Request full = parse_request(
      R"({"id":[7,"x"],"position":"6 / 5","dice":"21","score":"dmp","cube":"roller:2",)"
      R"("jacoby":true,"beavers":false,"checkers":2})",
      id);
  CHECK(id == R"([7,"x"])");
  CHECK(full.position == "6 / 5");
  CHECK(full.dice == "21");
  CHECK(full.score == "dmp");
  CHECK(full.cube == "roller:2");
  CHECK(full.jacoby == true);
  CHECK(full.beavers == false);
  CHECK(full.checkers == 2);
  const Request bare = parse_request(R"({"after":"31: 8/5 6/5"})", id);
  CHECK(bare.after == "31: 8/5 6/5");
  CHECK(bare.position.empty());
  CHECK_FALSE(bare.dice);
  CHECK_FALSE(bare.checkers);
}

TEST_CASE("A request may say which plays are rolled out and how much") {
  std::string id = "null";
  const Request request = parse_request(
      R"({"title":"Run?","position":"6 / 5","dice":"21","plays":"6/3; 6/4 6/5","trials":72,)"
      R"("half_width":0,"most_trials":720,"seed":18446744073709551615,"both_from_roller":true})",
      id);
  CHECK(request.title == "Run?");
  CHECK(request.plays == "6/3; 6/4 6/5");
  CHECK(request.trials == 72);
  CHECK(request.half_width == 0.0);
  CHECK(request.most_trials == 720);
  CHECK(request.seed == ~std::uint64_t{0});
  CHECK(request.both_from_roller == true);
  CHECK(request.trial_field());
  const Request listed = parse_request(R"({"plays":["6/3","6/4 6/5"]})", id);
  CHECK(listed.plays == "6/3;6/4 6/5");
  CHECK_FALSE(listed.trial_field());
}

TEST_CASE("A complaint about a request comes under its id and names the field") {
  using Catch::Contains;
  CHECK_THAT(refusal(R"({"id":3,"dice":21})"), Contains("3: field dice: not a text"));
  CHECK_THAT(refusal(R"({"id":3,"jacoby":1})"), Contains("3: field jacoby: neither yes nor no"));
  CHECK_THAT(refusal(R"({"checkers":16})"), Contains("field checkers") && Contains("1 to 15"));
  CHECK_THAT(refusal(R"({"colour":"red"})"), Contains("field colour: unknown field"));
  CHECK_THAT(refusal("[1]"), Contains("not an object"));
  CHECK_THAT(refusal("{"), Contains("not JSON at column 2"));
  CHECK_THAT(refusal(R"({"trials":0})"), Contains("field trials") && Contains("1 to 100000000"));
  CHECK_THAT(refusal(R"({"half_width":-0.1})"),
             Contains("field half_width: not a number in range"));
  CHECK_THAT(refusal(R"({"plays":7})"), Contains("field plays: not a text"));
  CHECK_THAT(refusal(R"({"plays":["6/3",7]})"), Contains("field plays[1]: not a text"));
  CHECK_THAT(refusal(R"({"checkers":1e999})"), Contains("a number beyond what can be read"));
  CHECK_THAT(refusal(R"({"id":1e999})"), Contains("a number beyond what can be read"));
}

TEST_CASE("A request that says two things at once, or goes on behind a zero byte, is refused") {
  using Catch::Contains;
  CHECK_THAT(refusal(R"({"dice":"21","dice":"31"})"), Contains("two fields 'dice'"));
  CHECK_THAT(refusal(R"({"dice":"21","d\u0069ce":"31"})"), Contains("two fields 'dice'"));
  CHECK_THAT(refusal(R"({"id":{"a":1,"b":[{"c":1,"c":2}]}})"), Contains("two fields 'c'"));
  CHECK(refusal(R"({"id":{"dice":[":",{"a:b":1}]},"dice":"2:1"})") == "accepted");
  CHECK_THAT(refusal(std::string("{\"dice\":\"21\"}\0junk", 20)),
             Contains("zero byte at column 14"));
}

TEST_CASE("A request nested deep is refused, however deep") {
  for (const std::size_t depth : {101u, 60'000u, 400'000u}) {
    const std::string open(depth, '[');
    const std::string close(depth, ']');
    CHECK_THAT(refusal("{\"id\":" + open + close + "}"), Catch::Contains("too deep"));
    CHECK_THAT(refusal("{\"id\":" + open), Catch::Contains("too deep"));
  }
}

TEST_CASE("Control characters in a request's texts are refused, and an id's are not told") {
  using Catch::Contains;
  CHECK_THAT(refusal(R"({"title":"\u001b[2J"})"), Contains("field title: a control character"));
  CHECK_THAT(refusal(R"({"title":"\u009b2J"})"), Contains("field title: a control character"));
  CHECK_THAT(refusal(R"({"plays":["\u0007"]})"), Contains("field plays[0]: a control character"));
  CHECK(refusal(R"({"title":"two\r\nlines\tand \u00e9"})") == "accepted");
  CHECK(plain_id(R"("a\u001b[2J")") == "a\xef\xbf\xbd[2J");
}

}  // namespace sixfold
