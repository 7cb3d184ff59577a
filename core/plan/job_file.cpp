#include <algorithm>
#include <coilwright/machine/machine_file.hpp>
#include <coilwright/plan/job_file.hpp>
#include <coilwright/plan/job_machine.hpp>
#include <coilwright/plan/job_shape.hpp>
#include <coilwright/plan/job_stock.hpp>
#include <filesystem>

namespace coilwright {
namespace {

namespace fs = std::filesystem;

constexpr Length usual_margin = Length::mm(25);
constexpr int most_passes = 50;  // more is a slip of the pen

BlankSpec read_blank(ValueReader& in) {
  const auto or_none = [&](const char* key) {
    return in.length(key, Allowed::not_negative).value_or(Length{});
  };
  return {or_none("blank.grip_front"),
          or_none("blank.grip_back"),
          or_none("blank.trim_front"),
          or_none("blank.trim_back"),
          in.length("blank.run_in", Allowed::not_negative),
          in.length("blank.settling", Allowed::not_negative)};
}

Scales read_scales(ValueReader& in) {
  const std::vector<std::pair<std::string, bool>> ways{{"up", true}, {"down", false}};
  return {in.length("settings.touch_reading", Allowed::any),
          in.choice("settings.travel_reads", ways).value_or(true),
          in.length("settings.lift_reading_at_pass_height", Allowed::any),
          in.choice("settings.lift_reads", ways).value_or(true)};
}

const std::vector<std::pair<std::string, Tolerances::CurvatureRule>>& curvature_rules() {
  static const std::vector<std::pair<std::string, Tolerances::CurvatureRule>> rules{
      {"AISC 303", Tolerances::CurvatureRule::aisc_303}};
  return rules;
}

// What the parts of a job say once each is understood.
Job assembled(const KeyedValues& values, const JobRequest& request, ValueReader& in, JobShape shape,
              Stock stock, JobMachine machine) {
  return {.coil = shape.coil,
          .segments = std::move(shape.segments),
          .stock = std::move(stock),
          .blank = read_blank(in),
          .machine = std::move(machine.machine),
          .machine_origin = std::move(machine.origin),
          .passes = in.whole_number("rolling.passes", 1, most_passes),
          .stock_slope = in.angle("rolling.stock_slope", Allowed::any).value_or(Angle{}),
          .clearance_margin = in.length("clearance.margin", Allowed::not_negative).value_or(usual_margin),
          .clearance_margin_given = values.has("clearance.margin"),
          .tolerance = {in.length("tolerance.radius", Allowed::positive),
                        in.length("tolerance.rise", Allowed::positive),
                        in.number("tolerance.distortion", Allowed::positive),
                        in.choice("tolerance.curvature", curvature_rules())},
          .scales = read_scales(in),
          .show = request.show,
          .stair = shape.stair,
          .name = request.path ? fs::path(*request.path).stem().string() : "job",
          .measured_to_given = values.has("coil.measured_to") || !shape.from_coil,
          .places = {},
          .assumptions = {},
          .remarks = {}};
}

// Measured to the centreline, a floor for the yield, a margin: what stands in for what was not said.
void note_assumptions(Job& job, const KeyedValues& values, const std::vector<std::string>& from_machine) {
  const auto ask = [&](const char* about, std::string text) {
    job.remarks.push_back({Level::question, about, std::move(text), std::nullopt});
  };
  if (!job.measured_to_given && (job.coil.radius || job.coil.diameter)) {
    const char* which = job.coil.radius ? "radius" : "diameter";
    const std::string value = length_text(job.coil.radius ? *job.coil.radius : *job.coil.diameter, job.show);
    job.assumptions.push_back(std::string("The ") + which + " of " + value +
                              " is measured to the centreline.");
    ask("coil.measured_to", std::string("Is the ") + which + " of " + value +
                                " measured to the centreline of the stock, to its inside or to its outside?");
  }
  if (!values.has("stock.yield"))
    job.assumptions.push_back(
        "The yield stress is the minimum of the standard. Real stock is stronger, springs back "
        "more and needs more travel than planned; a measured value (yield_mpa) does away with this.");
  if (!job.clearance_margin_given)
    job.assumptions.push_back("A distance of " + length_text(job.clearance_margin, job.show) +
                              " counts as clear.");
  job.assumptions.insert(job.assumptions.end(), from_machine.begin(), from_machine.end());
}

void note_places(Job& job, const KeyedValues& values) {
  for (const auto& [key, given] : values.all()) {
    job.places.insert_or_assign(key, given.value.place);
    job.places.insert_or_assign(given.given_as, given.value.place);
    // Plan and machine speak of a machine's values by their own keys.
    if (key.starts_with("machine.")) job.places.insert_or_assign(key.substr(8), given.value.place);
  }
}

}  // namespace

Result<Job> read_job(const JobRequest& request) {
  Findings faults;
  KeyedValues values;
  std::string folder;
  if (request.path) {
    const Result<DocumentValue> document = read_document_file(*request.path);
    if (!document) return refuse(document.error());
    values = KeyedValues::from_table(*document, job_keys(), faults);
    folder = fs::path(*request.path).parent_path().string();
  }
  values.replace_by(request.options, same_thing_in_job());

  ValueReader in(values, request.bare, faults);
  std::optional<JobStock> stock = read_job_stock(in);
  std::optional<JobMachine> machine = read_job_machine(
      values.below("machine"), request.bare, folder,
      stock && stock->stock.section.round() ? std::optional(stock->stock.section.outside_diameter()) : std::nullopt, faults);
  JobShape shape = read_job_shape(in, stock ? std::optional(faces_of(stock->stock.section)) : std::nullopt, faults);

  // Read the rest even if there are faults already, so that all of them are told.
  const Stock stand_in{*Section::round_bar(Length::mm(1)), {}, "", "", {}};
  const std::vector<std::string> from_machine = machine ? machine->assumptions : std::vector<std::string>{};
  const JobShape said = shape;
  Job job = assembled(values, request, in, std::move(shape), stock ? stock->stock : stand_in,
                      machine ? *std::move(machine) : JobMachine{});
  job.places = said.places;
  note_places(job, values);
  locate(faults, job);
  if (!faults.empty()) return refuse(std::move(faults));
  append(job.remarks, stock->doubts);
  append(job.remarks, said.remarks);
  job.assumptions = said.assumptions;
  note_assumptions(job, values, from_machine);
  locate(job.remarks, job);
  return job;
}

}  // namespace coilwright
