#include "libloop/report/ways.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>

namespace libloop::report {
namespace {

constexpr std::string_view outside = "outside";

const std::string& upstream(const PartPoint& p) { return backwards(p) ? p.to : p.from; }
const std::string& downstream(const PartPoint& p) { return backwards(p) ? p.from : p.to; }

Way single(const PartPoint& part) {
  return {Way::Kind::part, &part, {}, upstream(part), downstream(part)};
}

// `second` added to `first`: parts of the same kind of way stand beside each other.
Way joined(Way::Kind kind, Way first, Way second) {
  Way way{kind, nullptr, {}, first.from, second.to};
  for (Way* one : {&first, &second}) {
    if (one->kind == kind) {
      for (Way& inner : one->ways) way.ways.push_back(std::move(inner));
    } else {
      way.ways.push_back(std::move(*one));
    }
  }
  return way;
}

void replace(std::vector<Way>& ways, std::size_t a, std::size_t b, Way way) {
  ways[std::min(a, b)] = std::move(way);
  ways.erase(ways.begin() + static_cast<std::ptrdiff_t>(std::max(a, b)));
}

// Two ways between the same places become one.
bool join_side_by_side(std::vector<Way>& ways) {
  for (std::size_t a = 0; a < ways.size(); ++a) {
    for (std::size_t b = a + 1; b < ways.size(); ++b) {
      if (ways[a].from != ways[b].from || ways[a].to != ways[b].to) continue;
      Way way = joined(Way::Kind::parallel, std::move(ways[a]), std::move(ways[b]));
      replace(ways, a, b, std::move(way));
      return true;
    }
  }
  return false;
}

// The only way out of a place, when one way leads to it and one away.
std::optional<std::size_t> only_way_out(const std::vector<Way>& ways, const std::string& place) {
  std::size_t into = 0, out_of = 0, next = 0;
  for (std::size_t i = 0; i < ways.size(); ++i) {
    into += ways[i].to == place ? 1 : 0;
    out_of += ways[i].from == place ? 1 : 0;
    if (ways[i].from == place) next = i;
  }
  return into == 1 && out_of == 1 ? std::optional(next) : std::nullopt;
}

// Two ways of which one begins where only the other ends become one.
bool join_in_a_row(std::vector<Way>& ways, const std::string& start) {
  for (std::size_t a = 0; a < ways.size(); ++a) {
    if (ways[a].to == start) continue;
    const std::optional<std::size_t> b = only_way_out(ways, ways[a].to);
    if (!b || *b == a) continue;
    Way way = joined(Way::Kind::series, std::move(ways[a]), std::move(ways[*b]));
    replace(ways, a, *b, std::move(way));
    return true;
  }
  return false;
}

void measure(Course& course) {
  for (const PartPoint* part : course.parts) {
    for (const std::string& end : {part->from, part->to}) ++course.places[end].touching;
    Course::Place& from = course.places[part->from];
    Course::Place& to = course.places[part->to];
    from.pressure = part->pressure;
    to.pressure = part->pressure - part->drop;
    course.places[upstream(*part)].through += std::abs(part->volume_flow);
    course.places[downstream(*part)].temperature = part->leaving;
  }
  // What leaves a place has its temperature, what moves most before all: what reaches it may
  // be one of several, and a part at rest tells nothing.
  std::map<std::string, double> most;
  for (const PartPoint* part : course.parts) {
    double& known = most.emplace(upstream(*part), -1.0).first->second;
    if (std::abs(part->flow) <= known) continue;
    known = std::abs(part->flow);
    course.places[upstream(*part)].temperature = part->entering;
  }
}

std::string start_of(const Course& course) {
  if (course.air && course.places.count(std::string(outside)) > 0) return std::string(outside);
  double most = 0.0;
  for (const auto& [name, place] : course.places) most = std::max(most, place.through);
  const auto carries_all = [&](const std::string& place) {
    constexpr double nearly = 0.98;  // warm coolant takes a little more room
    return course.places.at(place).through >= nearly * most;
  };
  // Before the first pump, if all coolant passes there.
  for (const PartPoint* part : course.parts) {
    const bool pump = part->name.rfind("pump", 0) == 0;
    if (pump && !backwards(*part) && carries_all(part->from)) return part->from;
  }
  for (const PartPoint* part : course.parts) {
    if (carries_all(upstream(*part))) return upstream(*part);
  }
  return course.parts.front()->from;
}

// Ways in the order in which the flow reaches them.
void sort_ways(Course& course) {
  std::vector<Way> sorted;
  std::vector<std::string> reached{course.start};
  for (std::size_t i = 0; i < reached.size(); ++i) {
    for (Way& way : course.ways) {
      if (way.from != reached[i]) continue;
      if (std::find(reached.begin(), reached.end(), way.to) == reached.end()) {
        reached.push_back(way.to);
      }
      sorted.push_back(std::move(way));
      way.from.clear();
    }
  }
  for (Way& way : course.ways) {
    if (!way.from.empty()) sorted.push_back(std::move(way));
  }
  course.ways = std::move(sorted);
}

}  // namespace

bool backwards(const PartPoint& part) {
  constexpr double still = 1e-7;  // kg/s: what the solver leaves where nothing moves
  return part.flow < -still;
}

double pressure_behind(const PartPoint& part) {
  return backwards(part) ? part.pressure : part.pressure - part.drop;
}

Course course_of(const OperatingPoint& point, bool air) {
  Course course;
  course.air = air;
  for (const PartPoint& part : point.parts) {
    if (part.air == air) course.parts.push_back(&part);
  }
  if (course.parts.empty()) return course;
  measure(course);
  course.start = start_of(course);
  for (const PartPoint* part : course.parts) course.ways.push_back(single(*part));
  while (join_side_by_side(course.ways) || join_in_a_row(course.ways, course.start)) {
  }
  sort_ways(course);
  return course;
}

bool spoken(const std::string& place) {
  const bool port = place.find('.') != std::string::npos &&
                    (place.size() > 3 && (place.compare(place.size() - 3, 3, ".in") == 0 ||
                                          place.compare(place.size() - 4, 4, ".out") == 0));
  const bool space = place.rfind("air path", 0) == 0;
  return !port && !space;
}

}  // namespace libloop::report
