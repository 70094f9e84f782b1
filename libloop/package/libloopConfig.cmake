include(CMakeFindDependencyMacro)
find_dependency(fmt)
# libcsv comes without a configuration of its own; ours lies beside this file.
list(PREPEND CMAKE_MODULE_PATH ${CMAKE_CURRENT_LIST_DIR})
find_dependency(LibCsv)
list(POP_FRONT CMAKE_MODULE_PATH)
include(${CMAKE_CURRENT_LIST_DIR}/libloopTargets.cmake)
