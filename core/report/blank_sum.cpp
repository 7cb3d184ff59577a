#include <coilwright/report/blank_sum.hpp>
#include <coilwright/report/printed_sum.hpp>
#include <string_view>
#include <vector>

namespace coilwright {

std::string blank_sum_text(const Blank& blank, System system) {
  std::vector<double> values;
  std::vector<std::string_view> names;
  const auto add = [&](Length length, std::string_view name) {
    if (length == Length()) return;
    values.push_back(system == System::metric ? length.mm() : length.inches());
    names.push_back(name);
  };
  add(blank.flat_front, "flat front");
  if (blank.run_in > blank.lead_arc + blank.settling) {
    add(blank.run_in, "run-in");
  } else {
    add(blank.lead_arc, "lead arc");
    add(blank.settling, "settling");
  }
  add(blank.trim_front, "trim");
  add(blank.developed, "part");
  add(blank.trim_back, "trim");
  add(blank.flat_back, "flat back");

  const double total = system == System::metric ? blank.cut_length().mm() : blank.cut_length().inches();
  const PrintedSum sum = printed_sum(values, total, system == System::metric ? 1 : 2);
  std::string out;
  for (std::size_t i = 0; i < names.size(); ++i)
    out.append(i == 0 ? "" : " + ").append(sum.parts[i]).append(" ").append(names[i]);
  return out + " = " + sum.total + " " + length_unit(system);
}

std::string start_up_sentence(const Blank& blank, Show show) {
  const Length until_pitch = blank.lead_arc + blank.settling;
  if (blank.start_up() == Length()) return "";
  if (until_pitch == Length())
    return "Start-up: the run-in, " + length_text(blank.run_in, show) + ", until the radius settles.";
  if (blank.run_in > until_pitch)
    return "Start-up: the run-in of the radius governs, " + length_text(blank.run_in, show) +
           "; lead arc and settling, " + length_text(until_pitch, show) +
           ", lie within it (the same material, never added).";
  return "Start-up: lead arc and settling govern, " + length_text(until_pitch, show) + "; the run-in of the radius, " +
         length_text(blank.run_in, show) + ", lies within them (the same material, never added).";
}

}  // namespace coilwright
