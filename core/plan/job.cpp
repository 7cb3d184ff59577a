#include <coilwright/plan/job.hpp>

namespace coilwright {

void locate(Findings& findings, const Job& job) {
  for (Finding& finding : findings) {
    if (finding.place) continue;
    if (const auto found = job.places.find(finding.about); found != job.places.end())
      finding.place = found->second;
  }
}

}  // namespace coilwright
