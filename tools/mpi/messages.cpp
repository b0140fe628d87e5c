#include "tools/mpi/messages.h"

#include <unistd.h>

#include <array>
#include <vector>

#include "base/bytes.h"
#include "base/format.h"
#include "base/input_error.h"

namespace sixfold::tools {
namespace {

constexpr const char* kFromRankZero = "what rank 0 has sent";

void add(ByteWriter& bytes, const TensorFile& file) {
  bytes.add(std::uint64_t{file.metadata.size()});
  for (const auto& [key, text] : file.metadata) {
    bytes.add_text(key);
    bytes.add_text(text);
  }
  bytes.add(std::uint64_t{file.tensors.size()});
  for (const auto& [name, tensor] : file.tensors) {
    bytes.add_text(name);
    bytes.add_list(tensor.shape);
    bytes.add_list(tensor.values);
  }
}

TensorFile take_tensors(ByteReader& bytes) {
  TensorFile file;
  for (auto left = bytes.take<std::uint64_t>(); left > 0; --left) {
    std::string key = bytes.take_text();
    file.metadata[std::move(key)] = bytes.take_text();
  }
  for (auto left = bytes.take<std::uint64_t>(); left > 0; --left) {
    Tensor& tensor = file.tensors[bytes.take_text()];
    tensor.shape = bytes.take_list<std::size_t>();
    tensor.values = bytes.take_list<float>();
  }
  return file;
}

void add(ByteWriter& bytes, const MatchEquityTable& table) {
  std::vector<double> before;
  std::vector<double> after_crawford;
  for (int away = 1; away <= table.most_away(); ++away) {
    for (int other = 1; other <= table.most_away(); ++other) {
      before.push_back(table.chance(away, other));
    }
    after_crawford.push_back(table.after_crawford(away));
  }
  bytes.add_list(before);
  bytes.add_list(after_crawford);
}

MatchEquityTable take_match_table(ByteReader& bytes) {
  std::vector<double> before = bytes.take_list<double>();
  std::vector<double> after_crawford = bytes.take_list<double>();
  if (before.size() != after_crawford.size() * after_crawford.size()) {
    bytes.fail("holds no match equity table");
  }
  return {std::move(before), std::move(after_crawford)};
}

}  // namespace

void Mailbox::put(Message message) {
  {
    const std::lock_guard lock(mutex_);
    messages_.push_back(std::move(message));
  }
  arrived_.notify_one();
}

std::optional<Message> Mailbox::take() {
  const std::lock_guard lock(mutex_);
  if (messages_.empty()) return std::nullopt;
  Message first = std::move(messages_.front());
  messages_.pop_front();
  return first;
}

Message Mailbox::wait() {
  std::unique_lock lock(mutex_);
  arrived_.wait(lock, [&] { return !messages_.empty(); });
  Message first = std::move(messages_.front());
  messages_.pop_front();
  return first;
}

std::string setup_bytes(const Setup& setup) {
  ByteWriter bytes;
  bytes.add_text(setup.version);
  bytes.add_text(setup.files.net_name);
  add(bytes, to_tensors(setup.files.net));
  add(bytes, setup.files.match_table);
  bytes.add(setup.files.opponent.has_value());
  if (setup.files.opponent) {
    bytes.add_text(setup.files.opponent_name);
    add(bytes, to_tensors(*setup.files.opponent));
  }
  bytes.add_text(setup.cache);
  bytes.add_text(setup.instruction_set);
  bytes.add(std::array{setup.race_points, setup.threads, setup.nice});
  return bytes.bytes();
}

std::optional<Setup> setup_of(std::string_view saved) {
  ByteReader bytes(saved, kFromRankZero);
  std::string version = bytes.take_text();
  if (version != Engine::version()) return std::nullopt;
  std::string net_name = bytes.take_text();
  NetworkFile net = from_tensors(take_tensors(bytes), net_name);
  Setup setup;
  setup.version = std::move(version);
  setup.files.net_name = std::move(net_name);
  setup.files.net = std::move(net);
  setup.files.match_table = take_match_table(bytes);
  if (bytes.take_flag()) {
    setup.files.opponent_name = bytes.take_text();
    setup.files.opponent = from_tensors(take_tensors(bytes), setup.files.opponent_name);
  }
  setup.cache = bytes.take_text();
  setup.instruction_set = bytes.take_text();
  const auto numbers = bytes.take<std::array<int, 3>>();
  setup.race_points = numbers[0];
  setup.threads = numbers[1];
  setup.nice = numbers[2];
  return setup;
}

std::string host_name() {
  std::array<char, 256> name{};
  gethostname(name.data(), name.size() - 1);
  return name.data();
}

MemberIdentity identity_of(const Core& core) {
  const Provenance& made_by = core.provenance();
  const std::string& opponent = made_by.opponent_net;
  return {host_name(), made_by.version,
          made_by.net + (opponent.empty() ? std::string() : " against " + opponent),
          format("{} points, {:016x}", core.race_points(), core.tables().hash())};
}

std::string identity_bytes(const MemberIdentity& identity) {
  ByteWriter bytes;
  bytes.add_text(identity.host);
  bytes.add_text(identity.version);
  bytes.add_text(identity.net);
  bytes.add_text(identity.tables);
  return bytes.bytes();
}

MemberIdentity take_identity(std::string_view saved) {
  ByteReader bytes(saved, "what a rank says of itself");
  MemberIdentity identity;
  identity.host = bytes.take_text();
  identity.version = bytes.take_text();
  identity.net = bytes.take_text();
  identity.tables = bytes.take_text();
  return identity;
}

void require_same(int rank, const MemberIdentity& theirs, const MemberIdentity& ours) {
  const auto require = [&](const char* what, const std::string& its, const std::string& own) {
    if (its == own) return;
    throw InputError(format("has {} {}", what, its), format("rank {} on {}", rank, theirs.host),
                     format("{} {}, as rank 0 on {} has", what, own, ours.host));
  };
  require("version", theirs.version, ours.version);
  require("net", theirs.net, ours.net);
  require("tables", theirs.tables, ours.tables);
}

}  // namespace sixfold::tools
