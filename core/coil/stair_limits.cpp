#include <cmath>
#include <coilwright/coil/stair.hpp>
#include <coilwright/quantity/length_text.hpp>

namespace coilwright {

Findings Stair::cautions() const {
  Findings findings;
  const auto mm = [](Length v) { return length_text(v, Show::both); };
  const auto caution = [&](const char* key, std::string text) {
    findings.push_back(
        {Level::caution, std::string("stair.") + key,
         std::move(text) +
             " The code that rules where the stair stands decides; this plan certifies nothing.",
         std::nullopt});
  };
  const auto in = [](double v) { return Length::inches(v); };

  if (spec_.rail_height && (*spec_.rail_height < in(34) || *spec_.rail_height > in(38)))
    caution("rail_height",
            "The rail stands " + mm(*spec_.rail_height) +
                " over the nosings; ADA Standards 2010, 505.4 asks for 34 to 38 in (864 to 965 mm).");
  const StockFaces& faces = rail_.faces();
  const Length outside = faces.height;
  const bool round = faces.inner == faces.outer && faces.inner + faces.outer == faces.height;
  if (round && (outside < in(1.25) || outside > in(2)))
    caution("plan_radius",
            "The rail measures " + mm(outside) +
                " across; ADA Standards 2010, 505.7 asks for 1-1/4 to 2 in (32 to 51 mm) of a round one.");
  if (spec_.top_extension &&
      (spec_.top_extension->run != ExtensionRun::level || extension_length(*spec_.top_extension) < in(12)))
    caution("top_extension",
            "ADA Standards 2010, 505.10.2 asks for a level extension of at least 12 in (305 mm) beyond the "
            "top riser nosing.");
  if (spec_.bottom_extension) {
    const auto going = going_at_walk_line();
    if (spec_.bottom_extension->run == ExtensionRun::level ||
        (going && extension_length(*spec_.bottom_extension) * std::cos(rail_.helix().slope().rad()) <
                      *going - Length::mm(0.05)))
      caution("bottom_extension",
              "ADA Standards 2010, 505.10.3 asks for an extension at the slope of the stair over at least "
              "one tread depth beyond the bottom nosing.");
  }
  if (spec_.clear_width && *spec_.clear_width < in(26))
    caution("clear_width",
            "The clear width at and below the rail is " + mm(*spec_.clear_width) +
                "; IBC 2015 to 2021, 1011.10 (section number from memory) asks for 26 in (660 mm) of a "
                "spiral stairway, and BS 5395-2:1984 for 600 mm of a small private stair.");
  const auto riser = riser_height();
  if (riser && *riser > in(9.5))
    caution("riser_height", "The riser is " + mm(*riser) +
                                "; IBC 2015 to 2021, 1011.10 (section number from memory) allows 9-1/2 in "
                                "(241 mm) of a spiral stairway.");
  if (riser && (*riser < Length::mm(150) || *riser > Length::mm(220)))
    caution("riser_height",
            "The riser is " + mm(*riser) +
                "; BS 5395-2:1984 has 170 to 220 mm (private stairs) and 150 to 190 mm (public ones).");
  const auto tread = tread_angle();
  const std::optional<Length> core = spec_.newel_radius ? spec_.newel_radius : spec_.well_radius;
  if (tread && core && (*core + in(12)) * tread->rad() < in(6.75))
    caution("tread_angle", "At 12 in (305 mm) from the narrow edge a tread is " +
                               mm((*core + in(12)) * tread->rad()) +
                               " deep; IBC 2015 to 2021, 1011.10 (section number from memory) asks for 6-3/4 "
                               "in (171 mm) clear, before the overlap of the nosing.");
  return findings;
}

}  // namespace coilwright
