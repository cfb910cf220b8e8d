#pragma once
// How a tool is made, as data: the steps in order of work, who does each, and which minutes it takes over from the
// estimate. Two routes ship built in (src/route/data/routes.toml): "shop-built" and "full custom". A product file may
// change them or add its own.
#include <chipledger/result/result.hpp>
#include <chipledger/route/product.hpp>

#include <string>
#include <vector>

namespace chipledger::route {

/// What a step takes over from the estimates of the milled parts, so that it is never typed.
enum class Takes {
  Nothing,
  Machine,      ///< spindle minutes; the attended share of them is somebody's
  Loading,      ///< load, clean, turn over, bow check
  SettingUp,    ///< per batch and setup
  Programming,  ///< once per design: programming, fixture, first article
  Bench,        ///< deburr, finish, inspect, fit
};
const char* word(Takes takes);

struct RouteStep {
  std::string name;
  std::optional<Who> who;  ///< absent: the product step's own, else the bench
  Takes takes{Takes::Nothing};
  double times{1};  ///< what is taken over, or typed in the product, times this
  double perDesign_h{}, perBatch_min{}, perSet_min{};
  std::optional<double> learning;  ///< hand work only; absent: 1, for the bench's minutes the shop's
  std::optional<double> yield;     ///< share that comes out good; absent: 1, at the machine the estimate's
  std::optional<double> attended;  ///< of a machine minute, at the machine; absent: the shop's
  Place place;
};

struct Route {
  std::string name;
  bool custom{};                  ///< sold at the price of the custom bench, without dealers
  int usualSets{50};              ///< hand minutes are the mean over a batch of this many, like the shop's
  std::optional<Who> others;      ///< who does the product's steps that the route does not name; absent: their own
  std::optional<Who> everything;  ///< does every step, whatever it says
  std::vector<RouteStep> steps;
  Place place;
};

/// The two that ship, and their file with its comments.
std::vector<Route> builtInRoutes();
std::string builtInRoutesFile();

}  // namespace chipledger::route
