#include "train/loops.h"

#include <algorithm>
#include <array>
#include <bit>
#include <catch2/catch.hpp>
#include <cmath>
#include <cstdint>
#include <functional>
#include <limits>
#include <random>
#include <string>
#include <vector>

#include "evaluator/network_fixtures.h"

namespace sixfold {
namespace {

constexpr std::array<std::size_t, 13> kSizes{0, 1, 3, 7, 8, 15, 17, 31, 33, 64, 100, 127, 1000};
/// Behind the end of each array, to see that nothing is written there.
constexpr std::size_t kGuard = 40;

constexpr AdamStep kStep{.learning_rate = 3e-3f,
                         .correction1 = 1.9f,
                         .correction2 = 30.0f,
                         .shrink = 0.999f,
                         .limit = 1.5f,
                         .average_decay = 0.9f};

/// The working arrays of all loops, with a guard behind each.
struct Arrays {
  std::vector<float> weight, first, second, average, gradient;
  friend bool operator==(const Arrays&, const Arrays&) = default;
};

/// Numbers of many sizes and signs, with the special ones among them.
std::vector<float> numbers(std::mt19937_64& random, std::size_t size) {
  constexpr std::array<float, 10> kSpecial{
      0.0f,        -0.0f,  1.0f,    -1.0f, 1.0000001f,
      0.99999994f, 1e-20f, -1e-20f, 2.5f,  std::numeric_limits<float>::min()};
  std::vector<float> values(size + kGuard);
  for (float& value : values) {
    const auto fraction = static_cast<float>(static_cast<std::int32_t>(random())) * 0x1p-31f;
    value = random() % 4 == 0 ? kSpecial[random() % kSpecial.size()] : 2.0f * fraction;
  }
  return values;
}

Arrays arrays(std::uint64_t seed, std::size_t size) {
  std::mt19937_64 random(seed);
  Arrays arrays{numbers(random, size), numbers(random, size), numbers(random, size),
                numbers(random, size), numbers(random, size)};
  for (float& value : arrays.second) value = value * value;
  return arrays;
}

std::vector<std::uint32_t> bits_of(const Arrays& arrays) {
  std::vector<std::uint32_t> bits;
  for (const auto* values :
       {&arrays.weight, &arrays.first, &arrays.second, &arrays.average, &arrays.gradient}) {
    for (const float value : *values) bits.push_back(std::bit_cast<std::uint32_t>(value));
  }
  return bits;
}

using Action = std::function<void(const TrainingLoops&, Arrays&, std::size_t size)>;

struct NamedAction {
  std::string name;
  Action run;
};

std::vector<NamedAction> all_loops() {
  return {
      {"add_scaled",
       [](const TrainingLoops& loops, Arrays& at, std::size_t size) {
         loops.add_scaled(at.weight.data(), at.gradient.data(), 0.3f, size);
       }},
      {"add", [](const TrainingLoops& loops, Arrays& at,
                 std::size_t size) { loops.add(at.weight.data(), at.gradient.data(), size); }},
      {"clamp", [](const TrainingLoops& loops, Arrays& at,
                   std::size_t size) { loops.clamp(at.weight.data(), size); }},
      {"mask_clamped",
       [](const TrainingLoops& loops, Arrays& at, std::size_t size) {
         loops.mask_clamped(at.gradient.data(), at.weight.data(), size);
       }},
      {"adam",
       [](const TrainingLoops& loops, Arrays& at, std::size_t size) {
         loops.adam(at.weight.data(), at.first.data(), at.second.data(), at.average.data(),
                    at.gradient.data(), kStep, size);
       }},
  };
}

const TrainingLoops& scalar() { return training_loops(InstructionSet::kScalar); }

}  // namespace

TEST_CASE("the loops give the same numbers to the bit at every instruction set") {
  for (const InstructionSet level : available_levels()) {
    for (const NamedAction& loop : all_loops()) {
      for (const std::size_t size : kSizes) {
        Arrays expected = arrays(size, size);
        Arrays found = expected;
        loop.run(scalar(), expected, size);
        loop.run(training_loops(level), found, size);
        INFO(kInstructionSetNames[static_cast<std::size_t>(level)] << ", " << loop.name << ", "
                                                                   << size);
        CHECK(bits_of(found) == bits_of(expected));
      }
    }
  }
}

TEST_CASE("the loops write their own elements only") {
  for (const InstructionSet level : available_levels()) {
    for (const NamedAction& loop : all_loops()) {
      for (const std::size_t size : kSizes) {
        const Arrays before = arrays(size, size);
        Arrays after = before;
        loop.run(training_loops(level), after, size);
        const auto guard_kept = [&](const std::vector<float>& a, const std::vector<float>& b) {
          return std::equal(a.end() - kGuard, a.end(), b.end() - kGuard);
        };
        INFO(kInstructionSetNames[static_cast<std::size_t>(level)] << ", " << loop.name);
        CHECK(guard_kept(before.weight, after.weight));
        CHECK(guard_kept(before.first, after.first));
        CHECK(guard_kept(before.second, after.second));
        CHECK(guard_kept(before.average, after.average));
        CHECK(guard_kept(before.gradient, after.gradient));
        if (loop.name != "mask_clamped") CHECK(before.gradient == after.gradient);
        if (loop.name == "mask_clamped") CHECK(before.weight == after.weight);
      }
    }
  }
}

TEST_CASE("sums are taken element by element") {
  const Arrays before = arrays(1, 100);
  Arrays plain = before;
  scalar().add(plain.weight.data(), plain.gradient.data(), 100);
  Arrays scaled = before;
  scalar().add_scaled(scaled.weight.data(), scaled.gradient.data(), 0.5f, 100);
  for (std::size_t i = 0; i < 100; ++i) {
    CHECK(plain.weight[i] == before.weight[i] + before.gradient[i]);
    CHECK(scaled.weight[i] == before.weight[i] + 0.5f * before.gradient[i]);
  }
}

TEST_CASE("activations are kept within 0 and 1, and gradients stop at either end") {
  std::vector<float> values{-3.0f, -0.0f, 0.0f, 1e-30f, 0.25f, 0.99999994f, 1.0f, 7.0f};
  const std::vector<float> clamped{0.0f, 0.0f, 0.0f, 1e-30f, 0.25f, 0.99999994f, 1.0f, 1.0f};
  scalar().clamp(values.data(), values.size());
  CHECK(values == clamped);
  std::vector<float> gradient{1.0f, 2.0f, 3.0f, 4.0f, -5.0f, 6.0f, 7.0f, 8.0f};
  const std::vector<float> masked{0.0f, 0.0f, 0.0f, 4.0f, -5.0f, 6.0f, 0.0f, 0.0f};
  scalar().mask_clamped(gradient.data(), values.data(), values.size());
  CHECK(gradient == masked);
}

TEST_CASE("a step of Adam follows its formula") {
  constexpr std::size_t kCount = 300;
  const Arrays before = arrays(2, kCount);
  Arrays after = before;
  all_loops().back().run(scalar(), after, kCount);
  std::size_t at_limit = 0;
  for (std::size_t i = 0; i < kCount; ++i) {
    const auto g = static_cast<double>(before.gradient[i]);
    const double m = 0.9 * static_cast<double>(before.first[i]) + 0.1 * g;
    const double v = 0.999 * static_cast<double>(before.second[i]) + 0.001 * g * g;
    const double step = 3e-3 * (m * 1.9) / (std::sqrt(v * 30.0) + 1e-8);
    const double shrunk = 0.999 * static_cast<double>(before.weight[i]);
    const double weight = std::clamp(shrunk - step, -1.5, 1.5);
    const double average = 0.9 * static_cast<double>(before.average[i]) + 0.1 * weight;
    CAPTURE(i, before.weight[i], before.first[i], before.second[i], g);
    CHECK(static_cast<double>(after.first[i]) == Approx(m).epsilon(1e-5).margin(1e-7));
    CHECK(static_cast<double>(after.second[i]) == Approx(v).epsilon(1e-4).margin(1e-30));
    CHECK(static_cast<double>(after.weight[i]) == Approx(weight).epsilon(1e-4).margin(1e-6));
    CHECK(static_cast<double>(after.average[i]) == Approx(average).epsilon(1e-4).margin(1e-6));
    at_limit += std::abs(weight) == 1.5 ? 1u : 0u;
  }
  CHECK(at_limit > 0);
  CHECK(at_limit < kCount / 2);
}

TEST_CASE("moments that fade away end at zero, not in subnormal numbers") {
  float weight = 0.5f, first = 1e-3f, second = 1e-3f, average = 0.5f;
  const float gradient = 0.0f;
  for (int step = 0; step < 100'000; ++step) {
    scalar().adam(&weight, &first, &second, &average, &gradient, kStep, 1);
    const bool is_sound = (first == 0.0f || std::isnormal(first)) &&
                          (second == 0.0f || std::isnormal(second)) && std::isfinite(weight);
    if (!is_sound) FAIL("step " << step << ": " << first << ", " << second << ", " << weight);
  }
  CHECK(first == 0.0f);
  CHECK(second == 0.0f);
}

}  // namespace sixfold
