// Pure bending by finite elements, against the moment-curvature law. Not part of a usual run: it needs the solver
// CalculiX (Debian: calculix-ccx) and ten seconds. Run it with: test_rolling "[calculix]"
#include <Eigen/Core>
#include <array>
#include <catch2/catch.hpp>
#include <cmath>
#include <coilwright/rolling/moment_curvature.hpp>
#include <cstdlib>
#include <fstream>
#include <map>
#include <sstream>
#include <string>
#include <vector>

#include "scratch_folder.hpp"

using namespace coilwright;
using Eigen::Vector3d;

namespace {

// x along the bar, y the depth, z the width from the plane of symmetry on.
struct Slice {
  std::vector<double> x, y, z;  // element borders
  double empty_y, empty_z;      // no material where |y| and z are below these
};

// The slice as 20-node bricks with plane ends, the far end turned by curvature x length, step by step; the moments
// that takes.
class Model {
 public:
  Model(const Slice& slice, double modulus, double poisson, double yield, double tangent)
      : slice_(slice), modulus_(modulus), poisson_(poisson), yield_(yield), tangent_(tangent) {
    bricks();
  }

  std::vector<double> moments(const std::vector<double>& curvatures) {
    const ScratchFolder folder;
    folder.file("slice.inp", input(curvatures));
    INFO("CalculiX (ccx) must be installed");
    REQUIRE(std::system("command -v ccx > /dev/null") == 0);
    const std::string run = "cd '" + folder.path("") + "' && ccx slice > ccx.log 2>&1";
    const int code = std::system(run.c_str());
    std::ifstream log(folder.path("ccx.log"));
    INFO(std::string(std::istreambuf_iterator<char>(log), {}));
    REQUIRE(code == 0);
    return read(folder.path("slice.dat"));
  }

 private:
  using Key = std::array<int, 3>;  // on the grid of half elements

  static double at(const std::vector<double>& borders, int half) {
    const auto i = static_cast<std::size_t>(half / 2);
    return half % 2 == 0 ? borders[i] : 0.5 * (borders[i] + borders[i + 1]);
  }
  int node(const Key& key) {
    const auto [found, added] = ids_.try_emplace(key, static_cast<int>(points_.size()) + 1);
    if (added) points_.emplace_back(at(slice_.x, key[0]), at(slice_.y, key[1]), at(slice_.z, key[2]));
    return found->second;
  }
  void bricks() {
    // Corners of the bottom, corners of the top, middles of the bottom's sides, of the top's, of the uprights.
    constexpr int order[20][3] = {{0, 0, 0}, {2, 0, 0}, {2, 2, 0}, {0, 2, 0}, {0, 0, 2}, {2, 0, 2}, {2, 2, 2},
                                  {0, 2, 2}, {1, 0, 0}, {2, 1, 0}, {1, 2, 0}, {0, 1, 0}, {1, 0, 2}, {2, 1, 2},
                                  {1, 2, 2}, {0, 1, 2}, {0, 0, 1}, {2, 0, 1}, {2, 2, 1}, {0, 2, 1}};
    const auto count = [](const std::vector<double>& b) { return static_cast<int>(b.size()) - 1; };
    for (int i = 0; i < count(slice_.x); ++i)
      for (int j = 0; j < count(slice_.y); ++j)
        for (int k = 0; k < count(slice_.z); ++k) {
          if (std::abs(at(slice_.y, 2 * j + 1)) < slice_.empty_y && at(slice_.z, 2 * k + 1) < slice_.empty_z) continue;
          std::vector<int> brick;
          for (const auto& o : order) brick.push_back(node({2 * i + o[0], 2 * j + o[1], 2 * k + o[2]}));
          bricks_.push_back(std::move(brick));
        }
  }

  [[nodiscard]] std::string input(const std::vector<double>& curvatures) const {
    std::ostringstream out;
    out.precision(15);
    out << "*NODE, NSET=ALL\n";
    for (std::size_t i = 0; i < points_.size(); ++i)
      out << i + 1 << "," << points_[i].x() << "," << points_[i].y() << "," << points_[i].z() << "\n";
    out << "*ELEMENT, TYPE=C3D20R, ELSET=BAR\n";
    for (std::size_t i = 0; i < bricks_.size(); ++i) {
      out << i + 1;
      for (std::size_t k = 0; k < 20; ++k) out << (k == 14 ? ",\n" : ",") << bricks_[i][k];
      out << "\n";
    }
    const double length = slice_.x.back();
    out << "*NSET, NSET=END\n";
    for (std::size_t i = 0; i < points_.size(); ++i)
      if (points_[i].x() == length) out << i + 1 << ",\n";
    const double hardening = modulus_ * tangent_ / (modulus_ - tangent_);
    out << "*MATERIAL, NAME=METAL\n*ELASTIC\n" << modulus_ << "," << poisson_ << "\n*PLASTIC\n" << yield_ << ",0\n"
        << yield_ + 0.5 * hardening << ",0.5\n*SOLID SECTION, ELSET=BAR, MATERIAL=METAL\n*BOUNDARY\n";
    bool held = false;
    for (std::size_t i = 0; i < points_.size(); ++i) {
      if (points_[i].x() == 0.0) out << i + 1 << ",1,1\n";
      if (points_[i].z() == 0.0) out << i + 1 << ",3,3\n";
      if (!held && points_[i].x() == 0.0 && points_[i].y() == slice_.y.front() && points_[i].z() == 0.0) {
        out << i + 1 << ",2,2\n";
        held = true;
      }
    }
    for (const double curvature : curvatures) {
      out << "*STEP, INC=1000\n*STATIC\n0.1,1.,1e-6,0.1\n*BOUNDARY\n";
      for (std::size_t i = 0; i < points_.size(); ++i)
        if (points_[i].x() == length) out << i + 1 << ",1,1," << -curvature * length * points_[i].y() << "\n";
      out << "*NODE PRINT, NSET=END, FREQUENCY=1000\nRF\n*END STEP\n";
    }
    return out.str();
  }

  // Sums of force times depth, by step; both halves of the width.
  [[nodiscard]] std::vector<double> read(const std::string& path) const {
    std::ifstream in(path);
    std::vector<double> moments;
    std::string line;
    while (std::getline(in, line)) {
      if (line.find("forces") != std::string::npos) {
        moments.push_back(0.0);
        continue;
      }
      std::istringstream numbers(line);
      long id = 0;
      double fx = 0.0;
      if (moments.empty() || !(numbers >> id >> fx)) continue;
      moments.back() -= 2.0 * fx * points_[static_cast<std::size_t>(id) - 1].y();
    }
    return moments;
  }

  Slice slice_;
  double modulus_, poisson_, yield_, tangent_;
  std::map<Key, int> ids_;
  std::vector<Vector3d> points_;
  std::vector<std::vector<int>> bricks_;
};

std::vector<double> even(double from, double to, int parts) {
  std::vector<double> out;
  for (int i = 0; i <= parts; ++i) out.push_back(from + (to - from) * i / parts);
  return out;
}

void compare(const Section& section, const Slice& slice) {
  constexpr double modulus = 210000, yield = 300, tangent = 2100;
  const MomentCurvature law(section, Stress::mpa(modulus), Stress::mpa(yield), Stress::mpa(tangent));
  std::vector<double> curvatures;
  for (const double times : {0.8, 1.5, 2.0, 4.0, 8.0}) curvatures.push_back(times * law.first_yield_curvature());
  const std::vector<double> moments = Model(slice, modulus, 0.3, yield, tangent).moments(curvatures);
  REQUIRE(moments.size() == curvatures.size());
  for (std::size_t i = 0; i < moments.size(); ++i) {
    const double ratio = moments[i] / law.moment(curvatures[i]);
    WARN("curvature " << curvatures[i] / law.first_yield_curvature() << " of first yield: finite elements / law = " << ratio);
    CHECK(ratio == Approx(1.0).epsilon(0.01));
  }
}

}  // namespace

TEST_CASE("a solid bar bends as in finite elements", "[.][calculix][oracle]") {
  const Section bar = Section::from(FlatBar{Length::mm(20), Length::mm(10), Way::easy}).value();
  compare(bar, {even(0, 5, 1), even(-5, 5, 16), even(0, 10, 3), 0.0, 0.0});
}

TEST_CASE("a square tube bends as in finite elements", "[.][calculix][oracle]") {
  // Sharp corners, as the bricks have them.
  const Section tube = Section::from(RectangularTube{Length::mm(50), Length::mm(50), Length::mm(3), Corners::given, Length::mm(0)}).value();
  std::vector<double> y{-25, -24, -23, -22};
  for (const double v : even(-22, 22, 22)) if (v > -22) y.push_back(v);
  for (const double v : {23.0, 24.0, 25.0}) y.push_back(v);
  std::vector<double> z = even(0, 22, 6);
  for (const double v : {23.5, 25.0}) z.push_back(v);
  compare(tube, {even(0, 4, 1), y, z, 22.0, 22.0});
}
