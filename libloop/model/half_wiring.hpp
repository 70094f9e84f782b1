// What both halves of the wiring share: whose parts, in which network, and what to complain
// of.
#pragma once

#include <string>
#include <utility>

#include "libloop/model/wiring.hpp"

namespace libloop {

// The name of a part of a cooler among the others.
std::string path_of(const Cooler& cooler, const Sheet& sheet);

class HalfWiring {
 public:
  HalfWiring(const Cooler& cooler, const Network& network, Wiring& wiring)
      : cooler_(cooler), network_(network), wiring_(wiring) {}

 protected:
  void fail(Code code, std::string message, std::string suggestion, std::string about = {}) {
    wiring_.problems.push_back(
        {code, std::move(message), std::move(suggestion), {}, std::move(about)});
  }
  // A part that only a network has a place for.
  void refuse(const char* kind);

  const Cooler& cooler_;
  const Network& network_;
  Wiring& wiring_;
};

// Fill in coolant and air; `as_usual`: as in a sealed loop, which has one of each part.
void wire_coolant(const Cooler& cooler, const Network& network, bool as_usual, Wiring& wiring);
void wire_air(const Cooler& cooler, const Network& network, bool as_usual, Wiring& wiring);

}  // namespace libloop
