// Chips on their plates, their boards, what is read of them; and the noise of everything.
#include "libloop/model/builder.hpp"
#include "libloop/model/noise_source.hpp"
#include "libloop/model/reading.hpp"
#include "libloop/model/stack.hpp"
#include "libloop/part/board_element.hpp"

namespace libloop {

using network::Input;
using network::Output;

void Builder::add_chips() {
  for (BuiltChip& chip : built_.chips) {
    add_chip(chip, plates_.at(chip.place->plate));
    add_reading(chip);
  }
}

void Builder::add_chip(BuiltChip& chip, const Plate& plate) {
  const Seat& seat = *chip.place->seat;
  const std::string suffix = seat.name().empty() ? "" : " of " + seat.name();
  const int spreader = circuit().add_state("spreader" + suffix);
  const int board = circuit().add_state("board" + suffix);
  chip.dies = new_states("die" + suffix, static_cast<int>(seat.dies.size()));
  Stack stack;
  stack.chip = &seat.chip;
  stack.paste = &seat.paste;
  stack.plate = chip.place->plate;
  stack.board = &seat.board;
  stack.bench = &bench_.bench;
  stack.sensor = &seat.sensor;
  stack.laws = &bench_.law;
  stack.conditions = &setup_.conditions;
  std::vector<int> q = quantities({&seat.chip, &seat.paste, chip.place->plate, &seat.board,
                                   &bench_.bench, &seat.sensor, &bench_.law, &setup_.conditions});
  std::vector<Input> inputs{aux(plate.film), state(plate.wall), state(spreader), state(board)};
  std::vector<Output> outputs{heat(plate.wall), heat(spreader), heat(board)};
  for (std::size_t i = 0; i < seat.dies.size(); ++i) {
    stack.dies.push_back(&seat.dies[i]);
    append(q, &seat.dies[i]);
    inputs.push_back(state(chip.dies[i]));
    outputs.push_back(heat(chip.dies[i]));
  }
  outputs.push_back(capacity(spreader));
  for (const int die : chip.dies) outputs.push_back(capacity(die));
  outputs.push_back(answer(chip.rise));
  outputs.push_back(answer(Raw::heat_in));
  for (const char* row :
       {"base", "paste", "spreader", "spreading", "solder", "die", "hottest", "sensor"}) {
    outputs.push_back(answer(chip.budget + budget(row)));
  }
  for (int i = 0; i < static_cast<int>(seat.dies.size()); ++i) {
    outputs.push_back(answer(chip.hottest + i));
  }
  outputs.push_back(answer(chip.power));
  add(chip.name, inputs, outputs, std::move(q), std::move(stack));
  add("board" + suffix, {state(board), around_},
      {heat(board), heat(air_heat_), capacity(board), answer(Raw::heat_in), answer(Raw::heat_out)},
      quantities({&seat.board, &seat.chip, &setup_.conditions}),
      BoardElement{&seat.board, &seat.chip, &setup_.conditions});
}

// The reading counts from the probe; the budget from the air around.
void Builder::add_reading(const BuiltChip& chip) {
  const Seat& seat = *chip.place->seat;
  add("reading of " + chip.name, {around_},
      {answer(chip.rise), answer(chip.budget + budget("cold_coolant")),
       answer(chip.budget + budget("sensor")), answer(chip.budget + budget("surroundings"))},
      quantities({&seat.sensor, &setup_.conditions}), Reading{&seat.sensor, &setup_.conditions});
}

void Builder::add_noise() {
  for (const AirStack& stack : stacks_) {
    for (const AirStack::FanPlace& fan : stack.fans) {
      add("noise of a fan", {}, {answer(Raw::noise)},
          quantities({fan.sheet, &bench_.bench, &setup_.conditions}, fan.copy),
          FanNoise{fan.sheet, &bench_.bench, &setup_.conditions});
    }
  }
  for (const Sheet* pump : cooler_.all("pump")) {
    add("noise of a pump", {}, {answer(Raw::noise)},
        quantities({pump, &bench_.bench, &setup_.conditions}),
        PumpNoise{pump, &bench_.bench, &setup_.conditions});
  }
  add("noise of the room", {}, {answer(Raw::noise)}, quantities({&bench_.bench}),
      RoomNoise{&bench_.bench});
}

}  // namespace libloop
