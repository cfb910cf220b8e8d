#include <chipledger/cutting/limits.hpp>

namespace chipledger::cutting {
namespace {

constexpr std::array<LimitSpec, kLimitCount> kSpecs{{
    {"bend_rough", "mm", 0.001, 0.5, "most bending at the tip while roughing"},
    {"bend_slot", "mm", 0.001, 0.5, "most bending at the tip at full width"},
    {"bend_wall", "mm", 0.001, 0.2, "most bending at the tip while finishing walls"},
    {"bend_floor", "mm", 0.001, 0.2, "most bending at the tip while finishing floors"},
    {"bend_carve", "mm", 0.001, 0.2, "most bending at the tip on carved faces"},
    {"carbide_modulus", "gpa", 300, 800, "Young's modulus of carbide cutters"},
    {"steel_modulus", "gpa", 150, 260, "Young's modulus of steel cutters"},
    {"bending_stress", "mpa", 100, 4000, "most bending stress in a cutter"},
    {"core_share", "", 0.5, 1, "diameter that bends as the fluted part does, share of D"},
    {"helix_angle", "deg", 0, 60, "helix of end mills"},
    {"radial_force", "", 0, 1.5, "radial over tangential cutting force"},
    {"edge_radius", "mm", 0.0005, 0.05, "radius of a sharp cutting edge"},
    {"rubbing_share", "", 0, 1, "least chip thickness over edge radius"},
    {"thinning_most", "", 1, 10, "most by which thin chips raise the feed"},
    {"least_radial", "", 0.001, 0.2, "least radial step, share of D"},
    {"spindle_efficiency", "", 0.3, 1, "power at the edge over power of the motor"},
    {"ramp_angle", "deg", 0.1, 30, "steepest straight ramp"},
    {"entry_feed", "", 0.05, 1, "feed on ramps and helices over feed in the full cut"},
    {"curve_feed", "mm_min", 50, 20000, "most finishing feed on curves"},
    {"peck_free", "", 0, 10, "hole depth without pecks, share of D"},
    {"cutter_change", "min", 0, 60, "time to change and measure a worn cutter"},
    {"breakage_small", "", 0, 2, "cutters below 2 mm broken, share of those worn"},
    {"breakage_large", "", 0, 2, "cutters from 2 mm broken, share of those worn"},
    {"spares_least", "", 0, 20, "cutters bought above the count used up"},
}};

}  // namespace

const LimitSpec& spec(LimitName name) { return kSpecs[static_cast<std::size_t>(name)]; }

}  // namespace chipledger::cutting
