#include <coilwright/plan/job_part.hpp>

namespace coilwright {

Result<Part> part_of(const Job& job) {
  const StockFaces faces = faces_of(job.stock.section);
  if (!job.segments.empty()) return Part::from(job.segments, faces);
  if (job.stair) {
    const Result<Stair> stair = Stair::from(*job.stair, faces);
    if (!stair) return refuse(stair.error());
    return Part::from(stair->segments(), faces);
  }
  const Result<Coil> coil = Coil::from(job.coil, faces);
  if (!coil) return refuse(coil.error());
  return Part::of(*coil);
}

}  // namespace coilwright
