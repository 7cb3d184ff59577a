// Notes drawn into one picture: where each dimension stands, which labels go where, and the compass.
#pragma once

#include <Eigen/Core>
#include <functional>
#include <string>
#include <vector>
#include <viewer/scene/canvas.hpp>
#include <viewer/scene/notes.hpp>

namespace coilwright::view {

using Projector = std::function<Pixel(const Eigen::Vector3d&)>;

// The picture the notes go into.
struct Sheet {
  Projector to_pixel;
  double pixels_per_mm = 1.0;    // at the middle of the scene
  PixelBox area;                 // of the scene
  std::vector<PixelBox> taken;   // nothing may lie on these
  std::vector<Pixel> busy;       // places of part and machine, better left free
  double scale = 1.0;
};

// Draws them; returns the labels for which there was no free place.
std::vector<std::string> draw_notes(Canvas& canvas, const Notes& notes, const Subject& subject,
                                    const Sheet& sheet);

// The mark of a collision: a ring with four bars, seen on any ground.
void draw_sight(Canvas& canvas, const Pixel& at, double scale);
// The line between two points that are nearest to each other.
void draw_gap(Canvas& canvas, const Pixel& a, const Pixel& b, double scale);

// Up and feed as two arrows in the lower left corner of `area`, as they run in this view. Returns what they
// cover.
PixelBox draw_compass(Canvas& canvas, const Subject& subject, const Eigen::Matrix3d& camera_from_M,
                      const PixelBox& area, double scale);

}  // namespace coilwright::view
