#include "libloop/warmup/riders.hpp"

#include "libloop/model/answers.hpp"

namespace libloop {
namespace {

using network::Rider;

// What counts as not small, of each trace.
constexpr double kelvin = 1.0, coolant = 1e-5, air = 1e-2, joule = 100.0;  // m3/s; J

Rider raw(Rider::Kind kind, int answer, double size) {
  Rider rider;
  rider.kind = kind;
  rider.size = size;
  rider.value = [answer](const std::vector<double>& all) {
    return all[static_cast<std::size_t>(answer)];
  };
  rider.slopes = [answer](const std::vector<double>&) { return RawSlopes{{answer, 1.0}}; };
  return rider;
}

Rider told(Answer answer, const Built& built, double size) {
  Rider rider;
  rider.size = size;
  rider.value = [answer, &built](const std::vector<double>& all) {
    return value_of(answer, built, all);
  };
  rider.slopes = [answer, &built](const std::vector<double>& all) {
    return slopes_of(answer, built, all);
  };
  return rider;
}

}  // namespace

std::vector<Rider> riders_of(const Model::Setup& setup, const Built& built,
                             const std::vector<double>& values) {
  std::vector<Rider> all;
  for (const BuiltChip& chip : built.chips) {
    Rider reading = raw(Rider::Kind::lagged, chip.rise, kelvin);
    const int lag = setup.place(chip.place->seat->sensor, "lag");
    reading.lag = values[static_cast<std::size_t>(lag)];
    all.push_back(std::move(reading));
  }
  all.push_back(told(Answer::coolant_rise, built, kelvin));
  all.push_back(told(Answer::coolant_flow, built, coolant));
  all.push_back(told(Answer::air_flow, built, air));
  Rider load = raw(Rider::Kind::value, static_cast<int>(Raw::heat_in), 1.0);
  load.with_own_heat = true;
  all.push_back(load);
  Rider in = raw(Rider::Kind::integral, static_cast<int>(Raw::heat_in), joule);
  in.with_own_heat = true;
  all.push_back(std::move(in));
  all.push_back(raw(Rider::Kind::integral, static_cast<int>(Raw::heat_out), joule));
  Rider stored;
  stored.kind = Rider::Kind::stored;
  stored.size = joule;
  all.push_back(std::move(stored));
  return all;
}

}  // namespace libloop
