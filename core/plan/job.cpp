#include <coilwright/plan/job.hpp>

namespace coilwright {

void locate(Findings& findings, const Job& job) {
  for (Finding& finding : findings) {
    if (finding.place) continue;
    if (const auto found = job.places.find(finding.about); found != job.places.end())
      finding.place = found->second;
  }
}

StockFaces faces_of(const Section& section) {
  return {section.inner_face(), section.outer_face(), section.height()};
}

}  // namespace coilwright
