// The verbs. Each adds itself to the command and fills `action` when it is called.
#pragma once

#include "bindings/cli/call.hpp"

namespace libloop::cli {

void add_new(CLI::App& app, Action& action);
void add_check(CLI::App& app, Action& action);
void add_predict(CLI::App& app, Action& action);
void add_draw(CLI::App& app, Action& action);
void add_warmup(CLI::App& app, Action& action);
void add_reduce(CLI::App& app, Action& action);
void add_forecast(CLI::App& app, Action& action);
void add_compare(CLI::App& app, Action& action);
void add_quantities(CLI::App& app, Action& action);

}  // namespace libloop::cli
