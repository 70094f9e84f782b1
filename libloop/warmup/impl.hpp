// What a Warmup holds between runs.
#pragma once

#include <memory>
#include <optional>
#include <vector>

#include "libloop/model/build.hpp"
#include "libloop/model/leakage.hpp"
#include "libloop/warmup/pieces.hpp"
#include "libloop/warmup/schedule.hpp"

namespace libloop {

struct Warmup::Impl {
  Impl(const Model& m, const Model::Setup& s)
      : model(m), setup(s), built(build(s)), leakage(s, built), solver(m) {}

  Trajectory run(const std::vector<double>& values, const Profile& profile, const Start& start,
                 const WarmupOptions& options);

  Model model;
  const Model::Setup& setup;
  Built built;
  Leakage leakage;
  Solver solver;
  // Of the last run: what came out, and its last row's quantities and settled unknowns.
  std::shared_ptr<const Trajectory::Data> last;
  std::vector<double> last_values, settled_at;

 private:
  bool driven_off(const std::vector<double>& unknowns, const std::vector<double>& quantities);
  std::vector<double> settled_chips(const OperatingPoint& settled) const;
  void note_unreferenced(const Schedule& schedule, Trajectory::Data& data) const;
  std::optional<std::vector<double>> first_unknowns(const std::vector<double>& values,
                                                    const Schedule& schedule, const Start& start,
                                                    bool quick, Trajectory::Data& data);
};

}  // namespace libloop
