// Triangle meshes from files: STL, as text or binary, and OBJ.
#pragma once

#include <coilwright/machine/triangle_mesh.hpp>
#include <coilwright/quantity/finding.hpp>
#include <string>
#include <string_view>

namespace coilwright {

// One unit of the file is so many mm.
//
// STL: a file whose length fits the number of triangles it announces is binary, any other is read as text.
// OBJ (the name ends in .obj): "v" and "f" lines; faces of more corners are fanned from their first, which
// holds for convex ones; everything else in the file is passed over.
// Faults are about "file": it cannot be read, is larger than 400 MB, is cut off, holds something else, or
// its contents make no mesh (see TriangleMesh::from).
Result<TriangleMesh> read_mesh_file(const std::string& path, double mm_per_unit);

// The same from the contents of a file.
Result<TriangleMesh> read_stl(std::string_view contents, double mm_per_unit);
Result<TriangleMesh> read_obj(std::string_view contents, double mm_per_unit);

}  // namespace coilwright
