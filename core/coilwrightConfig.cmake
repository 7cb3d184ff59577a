# What the headers need (Eigen, tl::expected) and what the library links (toml++, cairo, threads).
include(CMakeFindDependencyMacro)
find_dependency(Eigen3 3.4)
find_dependency(tl-expected)
find_dependency(tomlplusplus)
find_dependency(Threads)
find_dependency(PkgConfig)
pkg_check_modules(CAIRO REQUIRED IMPORTED_TARGET cairo)
include(${CMAKE_CURRENT_LIST_DIR}/coilwrightTargets.cmake)
