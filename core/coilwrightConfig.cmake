# What the headers need (Eigen, tl::expected) and what the library links (toml++).
include(CMakeFindDependencyMacro)
find_dependency(Eigen3 3.4)
find_dependency(tl-expected)
find_dependency(tomlplusplus)
include(${CMAKE_CURRENT_LIST_DIR}/coilwrightTargets.cmake)
