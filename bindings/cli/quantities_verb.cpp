// libloop quantities: the reference of everything a file may hold.
#include <memory>

#include "bindings/cli/terminal.hpp"
#include "bindings/cli/verbs.hpp"
#include "libloop/report/quantities.hpp"

namespace libloop::cli {
namespace {

struct QuantitiesCall {
  std::string part;
  bool json = false, csv = false, markdown = false;
};

constexpr const char* footer =
    "Examples:\n"
    "  libloop quantities\n"
    "  libloop quantities radiator\n"
    "  libloop quantities --csv > quantities.csv\n";

int run(const QuantitiesCall& call) {
  const std::vector<const Table*> tables =
      as_call("quantities", [&] { return report::tables_named(call.part); });
  if (call.json) {
    print(report::quantities_json(tables));
  } else if (call.csv) {
    print(report::quantities_csv(tables));
  } else if (call.markdown) {
    print(report::quantities_markdown(tables));
  } else {
    print_text(report::quantities_text(tables));
  }
  return done;
}

}  // namespace

void add_quantities(CLI::App& app, Action& action) {
  auto call = std::make_shared<QuantitiesCall>();
  CLI::App* verb = app.add_subcommand(
      "quantities", "Every quantity: name, unit, typical, low, high, kind, source, meaning");
  verb->footer(footer);
  verb->add_option("part", call->part, "One part: radiator, fan, chip, ...")->type_name("PART");
  CLI::Option* json = verb->add_flag("--json", call->json, "One JSON object");
  CLI::Option* csv = verb->add_flag("--csv", call->csv, "One line a row")->excludes(json);
  verb->add_flag("--markdown", call->markdown, "The page docs/quantities.md")
      ->excludes(json)
      ->excludes(csv);
  verb->callback([call, &action] { action = [call] { return run(*call); }; });
}

}  // namespace libloop::cli
