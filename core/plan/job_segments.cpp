#include <coilwright/plan/job_coil.hpp>
#include <coilwright/plan/job_segments.hpp>

namespace coilwright {
namespace {

const std::vector<KnownKey>& segment_keys() {
  using enum ValueKind;
  static const std::vector<KnownKey> keys{
      {"kind", words, ""},        {"radius", length, ""},      {"diameter", length, ""},
      {"measured_to", words, ""}, {"bend_radius", length, ""}, {"start_radius", length, ""},
      {"end_radius", length, ""}, {"pitch", length, ""},       {"turns", number, ""},
      {"angle", angle, ""},       {"rise", length, ""},        {"slope", angle, ""},
      {"length", length, ""},     {"chord", length, ""},       {"chord_rise", length, ""},
      {"bends", words, ""},       {"climbs", words, ""},       {"hand", words, ""}};
  return keys;
}

class SegmentReader {
 public:
  SegmentReader(const KeyedValues& values, std::optional<LengthUnit> bare, Findings& faults,
                const std::string& about)
      : values_(values), faults_(faults), about_(about), in_(values, bare, faults, about) {}

  SegmentSpec read(const Place& place) {
    SegmentSpec spec;
    const std::vector<std::pair<std::string, SegmentKind>> kinds{{"straight", SegmentKind::straight},
                                                                 {"arc", SegmentKind::arc},
                                                                 {"helix", SegmentKind::helix},
                                                                 {"cone", SegmentKind::cone},
                                                                 {"scroll", SegmentKind::scroll}};
    if (!values_.has("kind")) {
      in_.missing("kind",
                  "This segment does not say what it is: kind = \"straight\", \"arc\", \"helix\", \"cone\" "
                  "or \"scroll\" (flat spiral, pancake coil).");
      faults_.back().place = place;
    }
    spec.kind = in_.choice("kind", kinds).value_or(SegmentKind::straight);
    const std::vector<std::pair<std::string, MeasuredTo>> faces{{"centreline", MeasuredTo::centreline},
                                                                {"inside", MeasuredTo::inside},
                                                                {"outside", MeasuredTo::outside}};
    spec.measured_to = in_.choice("measured_to", faces).value_or(MeasuredTo::centreline);
    const std::vector<std::pair<std::string, Bends>> ways{
        {"in", Bends::in}, {"out", Bends::out}, {"up", Bends::up}, {"down", Bends::down}};
    spec.bends = in_.choice("bends", ways).value_or(Bends::in);
    spec.hand = read_job_direction(in_, "");
    for (int i = 0; i < segment_measure_count; ++i) measure(spec, static_cast<SegmentMeasure>(i));
    return spec;
  }

 private:
  void measure(SegmentSpec& spec, SegmentMeasure m) {
    const std::string key = segment_measure_key(m);
    const GivenValue* given = values_.find(key);
    if (given == nullptr) return;
    const auto* text = std::get_if<std::string>(&given->value.value);
    if (text != nullptr && given->unit.empty() && begins_a_closing(*text))
      return closing(spec, m, key, *text);
    if (m == SegmentMeasure::turns) {
      if (const auto value = in_.number(key, Allowed::any)) spec.given[m] = *value;
    } else if (measures_an_angle(m)) {
      if (const auto value = in_.angle(key, Allowed::any)) spec.given[m] = value->rad();
    } else if (m == SegmentMeasure::pitch) {
      if (const auto value = read_job_pitch(in_, key, std::nullopt)) spec.given[m] = value->mm();
    } else if (const auto value = in_.length(key, Allowed::any)) {
      spec.given[m] = value->mm();
    }
  }

  void closing(SegmentSpec& spec, SegmentMeasure m, const std::string& key, const std::string& text) {
    const Result<Closing> read = read_closing(text, m, about_ + key);
    if (!read)
      in_.adopt(key, read.error());
    else if (spec.closing)
      in_.fault(key, "A segment can leave one measure to a condition; the " +
                         std::string(segment_measure_name(spec.closing->of)) + " is already.");
    else
      spec.closing = *read;
  }

  const KeyedValues& values_;
  Findings& faults_;
  std::string about_;
  ValueReader in_;
};

}  // namespace

JobSegments read_job_segments(const DocumentValue& tables, std::optional<LengthUnit> bare, Findings& faults,
                              std::map<std::string, Place>& places) {
  JobSegments job;
  const std::size_t before = faults.size();
  const auto* list = std::get_if<DocumentArray>(&tables.value);
  if (list == nullptr || list->empty()) {
    faults.push_back({Level::fault, "segment",
                      "Segments are a list, in the order in which they are fed: write each one under its own "
                      "heading [[segment]].",
                      tables.place});
    return job;
  }
  for (const DocumentValue& table : *list) {
    const std::string about = "segment." + std::to_string(job.specs.size() + 1) + ".";
    if (!std::holds_alternative<DocumentTable>(table.value)) {
      faults.push_back(
          {Level::fault, "segment", "A segment is a table under its own heading [[segment]].", table.place});
      continue;
    }
    const KeyedValues values = KeyedValues::from_table(table, segment_keys(), faults, "in a segment");
    for (const auto& [key, given] : values.all()) places.insert_or_assign(about + key, given.value.place);
    for (const KnownKey& key : segment_keys()) places.emplace(about + key.key, table.place);
    job.specs.push_back(SegmentReader(values, bare, faults, about).read(table.place));
    const SegmentSpec& spec = job.specs.back();
    for (const auto& [measure, value] : spec.given)
      if (measures_a_radius(measure) && !values.has("measured_to")) {
        job.assumptions.push_back("The radii of segment " + std::to_string(job.specs.size()) +
                                  " are measured to the centreline.");
        break;
      }
  }
  job.understood = faults.size() == before;
  return job;
}

}  // namespace coilwright
