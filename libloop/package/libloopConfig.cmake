include(CMakeFindDependencyMacro)
find_dependency(fmt)
include(${CMAKE_CURRENT_LIST_DIR}/libloopTargets.cmake)
