#include <coilwright/plan/direction_words.hpp>

#include "jobs.hpp"

using namespace coilwright;

namespace {

Job coil_job(double radius_mm, double pitch_mm) {
  Job job = rail_among_solids(0, 1);
  job.coil.radius = Length::mm(radius_mm);
  job.coil.pitch = Length::mm(pitch_mm);
  return job;
}

bool tells_of_rail(const Job& job) { return direction_words(planned(job)).find("rail") != std::string::npos; }

}  // namespace

TEST_CASE("a rail is spoken of where the job describes one, and only there", "[direction][property]") {
  // Slopes: atan(2700 / (2 pi 800)) = 28.2 degrees, like a stair; atan(300 / (2 pi 800)) = 3.4 degrees, like a spring.
  CHECK(tells_of_rail(coil_job(800.0, 2700.0)));
  Job flat = coil_job(800.0, 300.0);
  CHECK(direction_words(planned(flat)) == "right-hand screw; climbs counter-clockwise seen from above; going up you turn left");
  flat.coil.hand = Hand::left_screw;
  CHECK(direction_words(planned(flat)) == "left-hand screw; climbs clockwise seen from above; going up you turn right");
  for (const char* name : {"garden-stair", "Rail", "BANISTER 2"}) {
    flat.name = name;
    CHECK(tells_of_rail(flat));
  }
  for (const char* name : {"fire-basket", "trailer hoop"}) {
    flat.name = name;
    CHECK_FALSE(tells_of_rail(flat));
  }
}
