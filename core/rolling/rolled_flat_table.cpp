#include <algorithm>
#include <cmath>
#include <coilwright/quantity/require.hpp>
#include <coilwright/rolling/rolled_flat_table.hpp>
#include <cstddef>

namespace coilwright {
namespace {

using Row = Eigen::ArrayXd;

// What a number is measured by besides its own size.
struct Number {
  double SteadyState::*of;
  enum class Kind { length, direction, other } kind;
};
struct Place {
  Eigen::Vector2d SteadyState::*of;
};
constexpr std::array numbers{Number{&SteadyState::travel_mm, Number::Kind::length},
                             Number{&SteadyState::free_curvature, Number::Kind::other},
                             Number{&SteadyState::loaded_curvature, Number::Kind::other},
                             Number{&SteadyState::entry_force_n, Number::Kind::other},
                             Number{&SteadyState::centre_force_n, Number::Kind::other},
                             Number{&SteadyState::exit_force_n, Number::Kind::other},
                             Number{&SteadyState::entry_drive_n, Number::Kind::other},
                             Number{&SteadyState::centre_drive_n, Number::Kind::other},
                             Number{&SteadyState::exit_drive_n, Number::Kind::other},
                             Number{&SteadyState::peak_moment_n_mm, Number::Kind::other},
                             Number{&SteadyState::entry_direction_rad, Number::Kind::direction},
                             Number{&SteadyState::centre_direction_rad, Number::Kind::direction},
                             Number{&SteadyState::exit_direction_rad, Number::Kind::direction},
                             Number{&SteadyState::span_in_mm, Number::Kind::length},
                             Number{&SteadyState::span_out_mm, Number::Kind::length},
                             Number{&SteadyState::centre_axis_y_mm, Number::Kind::length}};
constexpr std::array places{Place{&SteadyState::entry_point}, Place{&SteadyState::centre_point}, Place{&SteadyState::exit_point}};
constexpr std::size_t per_pass = numbers.size() + 2 * places.size() + 1;  // and the largest curvature it has been bent to
constexpr std::size_t per_station = 5;

// Writes row after row of a kind of thing, or reads it.
struct Writer {
  Row row;
  Eigen::Index next = 0;
  void put(double value) { row[next++] = value; }
};
struct Reader {
  const Row& row;
  Eigen::Index next = 0;
  double take() { return row[next++]; }
};

Row row_of(const std::vector<SteadyState>& passes) {
  Writer to{Row(static_cast<Eigen::Index>(passes.size() * per_pass))};
  for (const SteadyState& s : passes) {
    for (const Number& number : numbers) to.put(s.*number.of);
    for (const Place& place : places) {
      to.put((s.*place.of).x());
      to.put((s.*place.of).y());
    }
    to.put(s.after.largest_curvature);
  }
  return to.row;
}

std::vector<SteadyState> passes_of(const Row& row) {
  Reader from{row};
  std::vector<SteadyState> passes(static_cast<std::size_t>(row.size()) / per_pass);
  for (SteadyState& s : passes) {
    for (const Number& number : numbers) s.*number.of = from.take();
    for (const Place& place : places) {
      const double x = from.take();
      s.*place.of = {x, from.take()};
    }
    s.after = {s.free_curvature, from.take()};
    s.law_points = 0;
  }
  return passes;
}

Row least_of_passes(int passes, double length_mm) {
  Writer to{Row(static_cast<Eigen::Index>(static_cast<std::size_t>(passes) * per_pass))};
  for (int i = 0; i < passes; ++i) {
    for (const Number& number : numbers)
      to.put(number.kind == Number::Kind::length ? length_mm : number.kind == Number::Kind::direction ? 1.0 : 0.0);
    for (std::size_t k = 0; k < 2 * places.size(); ++k) to.put(length_mm);
    to.put(0.0);
  }
  return to.row;
}

Row row_of(const std::vector<PosedPart::Station>& stations) {
  Writer to{Row(static_cast<Eigen::Index>(stations.size() * per_station))};
  for (const PosedPart::Station& s : stations) {
    for (const double value : {s.lag_mm, s.direction_rad, s.curvature_per_mm, s.p.x(), s.p.y()}) to.put(value);
  }
  return to.row;
}

std::vector<PosedPart::Station> stations_of(const Row& row) {
  Reader from{row};
  std::vector<PosedPart::Station> stations(static_cast<std::size_t>(row.size()) / per_station);
  for (PosedPart::Station& s : stations) {
    s.lag_mm = from.take();
    s.direction_rad = from.take();
    s.curvature_per_mm = from.take();
    s.p.x() = from.take();
    s.p.y() = from.take();
  }
  return stations;
}

Row least_of_stations(std::size_t stations, double length_mm, double curvature_per_mm) {
  Writer to{Row(static_cast<Eigen::Index>(stations * per_station))};
  for (std::size_t i = 0; i < stations; ++i)
    for (const double value : {length_mm, 1.0, curvature_per_mm, length_mm, length_mm}) to.put(value);
  return to.row;
}

}  // namespace

RolledFlatTable::RolledFlatTable(const MomentCurvature& law, const RollGeometry& rolls, double from, double to)
    : law_(law), rolls_(rolls), from_(from), to_(to) {
  require(0.0 < from && from <= to, "a table covers curvatures");
}

void RolledFlatTable::cover(int passes, double from, double to, int halvings, std::vector<Piece>& pieces) const {
  const auto spans_of = [&](const FlatPasses& flat) {
    const BendHistory before = passes > 1 ? flat.passes[flat.passes.size() - 2].after : virgin(law_);
    return span_stations(law_, rolls_, before, flat.passes.back());
  };
  std::size_t stations = 0;
  const FlatPasses middle = roll_flat(law_, rolls_, std::sqrt(from * to), passes);
  Piece piece{to, {}, {}};
  if (!middle.stopped) {
    stations = spans_of(middle).size();
    piece.states = Panel::fitted(
        [&](double curvature) -> std::optional<Row> {
          const FlatPasses flat = roll_flat(law_, rolls_, curvature, passes);
          return flat.stopped ? std::nullopt : std::optional(row_of(flat.passes));
        },
        from, to, Panel::Begins::smoothly, rolled_flat_table_share, least_of_passes(passes, rolls_.half_spacing_mm));
  }
  if (piece.states)
    piece.spans = Panel::fitted(
        [&](double curvature) { return std::optional(row_of(spans_of({passes_of(piece.states->at(curvature)), {}}))); }, from, to,
        Panel::Begins::smoothly, rolled_flat_table_share,
        least_of_stations(stations, rolls_.half_spacing_mm, middle.passes.back().loaded_curvature));
  if ((piece.states && piece.spans) || halvings == 0) {
    pieces.push_back(std::move(piece));
    return;
  }
  const double half = std::sqrt(from * to);
  cover(passes, from, half, halvings - 1, pieces);
  cover(passes, half, to, halvings - 1, pieces);
}

const RolledFlatTable::Piece* RolledFlatTable::piece_at(double free_curvature, int passes) const {
  require(passes >= 1, "at least one pass");
  if (passes > most_passes_planned || !(free_curvature >= from_ && free_curvature <= to_) || from_ == to_) return nullptr;
  OfPasses& of = of_passes_[static_cast<std::size_t>(passes) - 1];
  std::call_once(of.made, [&] {
    constexpr int halvings = 6;
    cover(passes, from_, to_, halvings, of.pieces);
  });
  const auto piece = std::find_if(of.pieces.begin(), of.pieces.end(), [&](const Piece& p) { return free_curvature <= p.to; });
  return piece != of.pieces.end() && piece->states ? &*piece : nullptr;
}

FlatPasses RolledFlatTable::at(double free_curvature, int passes) const {
  const Piece* piece = piece_at(free_curvature, passes);
  if (piece == nullptr) return roll_flat(law_, rolls_, free_curvature, passes);
  FlatPasses flat{passes_of(piece->states->at(free_curvature)), std::nullopt};
  // What was asked for, to the last digit.
  for (int i = 1; i <= passes; ++i) {
    SteadyState& state = flat.passes[static_cast<std::size_t>(i) - 1];
    state.free_curvature = state.after.free_curvature = free_curvature * i / passes;
  }
  return flat;
}

std::optional<std::vector<PosedPart::Station>> RolledFlatTable::spans_at(double free_curvature, int passes) const {
  const Piece* piece = piece_at(free_curvature, passes);
  if (piece == nullptr || !piece->spans) return std::nullopt;
  return stations_of(piece->spans->at(free_curvature));
}

}  // namespace coilwright
