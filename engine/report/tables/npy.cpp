#include "report/tables/npy.h"

#include <cassert>
#include <cstddef>
#include <cstdint>

#include "base/bytes.h"

namespace sixfold {
namespace {

/// Whatever follows the header begins at a multiple of it.
constexpr std::size_t kAlignment = 64;

/// The magic bytes, version 1.0, and a dictionary of Python filled up with blanks.
std::string header(std::size_t records, bool has_errors) {
  std::string words = "{'descr': [('position', '|i1', (2, 26)), ('outcomes', '<f8', (6,)), ";
  if (has_errors) words += "('standard_errors', '<f8', (6,)), ";
  words +=
      "('end', '|i1')], 'fortran_order': False, 'shape': (" + std::to_string(records) + ",), }";
  std::string bytes("\x93NUMPY\x01\x00", 8);
  const std::size_t before = bytes.size() + sizeof(std::uint16_t);
  while ((before + words.size() + 1) % kAlignment != 0) words += ' ';
  words += '\n';
  ByteWriter length;
  length.add(static_cast<std::uint16_t>(words.size()));
  return bytes + length.bytes() + words;
}

void add_side(ByteWriter& bytes, const Side& side) {
  for (int location = kOff; location <= kBar; ++location) {
    bytes.add(static_cast<std::int8_t>(side[location]));
  }
}

}  // namespace

std::string sample_npy(std::span<const SampledPosition> positions) {
  const bool has_errors = !positions.empty() && positions.front().standard_errors.has_value();
  ByteWriter records;
  for (const SampledPosition& sampled : positions) {
    assert(sampled.standard_errors.has_value() == has_errors);
    add_side(records, sampled.position.roller);
    add_side(records, sampled.position.opponent);
    records.add(sampled.outcomes.probability);
    if (sampled.standard_errors) records.add(*sampled.standard_errors);
    records.add(static_cast<std::int8_t>(sampled.end));
  }
  return header(positions.size(), has_errors) + records.bytes();
}

}  // namespace sixfold
