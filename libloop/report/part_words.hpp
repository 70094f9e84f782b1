// What pictures say of a part beside its flow.
#pragma once

#include <map>
#include <string>

#include "libloop/model/model.hpp"

namespace libloop::report {

// Chips by their plates, radiators by their name. Model and point must outlive it.
class PartWords {
 public:
  PartWords(const Model& model, const OperatingPoint& point);

  // Null: no chip sits there; no radiator.
  const ChipPoint* chip_on(const PartPoint& part) const;
  const RadiatorPoint* radiator(const PartPoint& part) const;

  // "← 180 W, chip +48.2 K", "→ 178 W to the air", "backwards"; or nothing. The name of a
  // chip takes `most` columns.
  std::string remark(const PartPoint& part, std::size_t most) const;

 private:
  std::map<std::string, const ChipPoint*> chips_;          // by plate
  std::map<std::string, const RadiatorPoint*> radiators_;  // by name
};

// "178 W to the air", "6 W from the air"
std::string heat_words(const RadiatorPoint& radiator);

// A name in at most so many columns: its middle gives way, for kind and number tell it apart.
std::string shortened(const std::string& name, std::size_t most);

// "before pump", "behind radiator", "at split", "from outside"
std::string place_words(const std::string& place);

}  // namespace libloop::report
