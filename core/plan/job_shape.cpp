#include <coilwright/coil/part.hpp>
#include <coilwright/plan/job_coil.hpp>
#include <coilwright/plan/job_segments.hpp>
#include <coilwright/plan/job_shape.hpp>
#include <coilwright/plan/job_stair.hpp>

namespace coilwright {
namespace {

// The first value given under a heading.
const GivenValue* first_of(const KeyedValues& values, const std::string& heading) {
  for (const auto& [key, given] : values.all())
    if (key == heading || key.starts_with(heading + ".")) return &given;
  return nullptr;
}

// A part is described once.
bool described_twice(const KeyedValues& values, Findings& faults) {
  struct Way {
    const char* heading;
    const char* shown;
    const GivenValue* given;
  };
  std::string found;
  const Way* last = nullptr;
  const Way ways[] = {{"coil", "[coil]", first_of(values, "coil")},
                      {"segment", "[[segment]]", first_of(values, "segment")},
                      {"stair", "[stair]", first_of(values, "stair")}};
  int count = 0;
  for (const Way& way : ways) {
    if (way.given == nullptr) continue;
    found += (count++ == 0 ? "" : " and ") + std::string(way.shown);
    last = &way;
  }
  if (count < 2) return false;
  faults.push_back({Level::fault, last->heading,
                    "A part is described once: by [coil], by a list of [[segment]] or by [stair]. Here are " +
                        found + ". Keep the one that is meant.",
                    last->given->value.place});
  return true;
}

CoilSpec spec_of(const Coil& coil) {
  CoilSpec spec;
  spec.radius = coil.helix().plan_radius();
  spec.pitch = coil.helix().pitch();
  spec.turns = coil.turns();
  spec.hand = coil.hand();
  return spec;
}

void take_stair(JobShape& shape, const StairSpec& spec, const KeyedValues& values, const StockFaces& stock,
                Findings& faults) {
  const Result<Stair> stair = Stair::from(spec, stock);
  if (!stair) return append(faults, stair.error());
  shape.coil = spec_of(stair->rail());
  shape.assumptions.insert(shape.assumptions.end(), stair->notes().begin(), stair->notes().end());
  append(shape.remarks, stair->cautions());
  if (spec.plan_radius && !values.has("stair.measured_to")) {
    shape.assumptions.push_back("The plan radius of the rail is measured to the centreline.");
    shape.remarks.push_back(
        {Level::question, "stair.measured_to",
         "Is the plan radius of the rail measured to its centreline, its inside or its outside?",
         std::nullopt});
  }
  if (spec.top_extension || spec.bottom_extension)
    shape.remarks.push_back(
        {Level::caution, "stair.top_extension",
         "The rolling below is that of the helix; the extensions are pieces of their own, spliced on.",
         std::nullopt});
}

void take_segments(JobShape& shape, const StockFaces& stock, Findings& faults) {
  const Result<Part> part = Part::from(shape.segments, stock);
  if (!part) return append(faults, part.error());
  if (part->segments().size() > 1 || !part->segments().front().coil()) return;  // its notes are the plan's
  shape.assumptions.insert(shape.assumptions.end(), part->notes().begin(), part->notes().end());
  shape.coil = spec_of(*part->segments().front().coil());
  shape.segments.clear();
}

}  // namespace

JobShape read_job_shape(ValueReader& in, const std::optional<StockFaces>& stock, Findings& faults) {
  JobShape shape;
  const KeyedValues& values = in.values();
  const bool twice = described_twice(values, faults);
  JobCoil coil = read_job_coil(in);
  JobStair stair = read_job_stair(in);
  const GivenValue* tables = values.find("segment");
  JobSegments segments;
  if (tables != nullptr) segments = read_job_segments(tables->value, in.bare(), faults, shape.places);
  shape.from_coil = tables == nullptr && first_of(values, "stair") == nullptr;
  shape.coil = coil.spec;
  if (tables != nullptr) {
    shape.segments = segments.specs;
    shape.assumptions = segments.assumptions;
  } else if (!shape.from_coil) {
    shape.stair = stair.spec;
  }
  if (twice || !stock) return shape;
  if (shape.from_coil && coil.understood) {
    if (const Result<Coil> made = Coil::from(coil.spec, *stock); !made) append(faults, made.error());
  } else if (tables != nullptr && segments.understood) {
    take_segments(shape, *stock, faults);
  } else if (shape.stair && stair.understood) {
    take_stair(shape, stair.spec, values, *stock, faults);
  }
  return shape;
}

}  // namespace coilwright
