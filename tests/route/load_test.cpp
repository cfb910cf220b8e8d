// Product files: what is read, and what is told with line and mend.
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <chipledger/route/load.hpp>

#include <filesystem>
#include <fstream>

using namespace chipledger;
using namespace chipledger::route;
using testing::HasSubstr;
namespace fs = std::filesystem;

namespace {

/// A folder of its own for each test, with an empty STEP file in it: reading it is not the loader's business.
class Folder {
public:
  Folder() {
    const auto* test = testing::UnitTest::GetInstance()->current_test_info();
    std::string name = std::string(test->test_suite_name()) + "-" + test->name();
    for (char& c : name)
      if (c == '/') c = '-';
    folder_ = fs::temp_directory_path() / ("chipledger-" + name);
    fs::remove_all(folder_);
    fs::create_directories(folder_);
    write("plate.step", "");
    write("other.step", "");
  }
  ~Folder() {
    std::error_code ignored;
    fs::remove_all(folder_, ignored);
  }
  std::string write(const std::string& name, const std::string& text) const {
    std::ofstream(folder_ / name) << text;
    return (folder_ / name).string();
  }

private:
  fs::path folder_;
};

const std::string kHead = "name = \"tool\"\n";
const std::string kPlate = "[[milled]]\nname = \"plates\"\nstep = \"plate.step\"\n";

struct Bad {
  const char* name;
  std::string text;
  const char* where;
  const char* says;
};
void PrintTo(const Bad& bad, std::ostream* out) { *out << bad.name; }
class BadProduct : public testing::TestWithParam<Bad> {};

TEST_P(BadProduct, NamesTheLineAndTheMend) {
  const Folder folder;
  const auto product = loadProduct(folder.write("product.toml", GetParam().text));
  ASSERT_FALSE(product.has_value());
  EXPECT_EQ(product.error().code, FaultCode::BadFile);
  EXPECT_THAT(product.error().where, HasSubstr(GetParam().where));
  EXPECT_THAT(sentence(product.error()), HasSubstr(GetParam().says));
  EXPECT_FALSE(product.error().next.empty());
}

INSTANTIATE_TEST_SUITE_P(
    Files, BadProduct,
    testing::Values(
        Bad{"NoToml", "name = [", "product.toml:1", "not TOML"},
        Bad{"NoName", kPlate, "product.toml", "lacks \"name\""},
        Bad{"NoParts", kHead, "product.toml:1", "no milled part"},
        Bad{"MissingStep", kHead + "[[milled]]\nname = \"p\"\nstep = \"plat.step\"\n", "product.toml:4",
            "Did you mean \"plate.step\""},
        Bad{"MissingStepOfAVariant", kHead + kPlate + "[[variant]]\nname = \"v\"\nsteps = { plates = \"gone.step\" }\n",
            "product.toml:7", "is not there"},
        Bad{"PartTwice", kHead + kPlate + "[[bought]]\nname = \"plates\"\nprice = 3\n", "product.toml:5", "used twice"},
        Bad{"SameStepTwice", kHead + kPlate + "[[milled]]\nname = \"more\"\nstep = \"plate.step\"\n", "product.toml:5",
            "raise its quantity"},
        Bad{"KitHoldsItself", kHead + kPlate + "[[kit]]\nfile = \"product.toml\"\n", "product.toml:5", "holds itself"},
        Bad{"NoKit", kHead + kPlate + "[[kit]]\nfile = \"kit.toml\"\n", "kit.toml", "cannot be read"},
        Bad{"Misspelt", kHead + kPlate + "quantitty = 2\n", "product.toml:5", "quantity"},
        Bad{"UnknownSection", kHead + "[sails]\nlist_price = 3\n", "product.toml:2", "sales"},
        Bad{"NegativePrice", kHead + kPlate + "[[bought]]\nname = \"b\"\nprice = -3\n", "product.toml:7", "cannot be"},
        Bad{"HalfAPiece", kHead + kPlate + "quantity = 1.5\n", "product.toml:5", "whole number"},
        Bad{"Shares",
            kHead + kPlate + "[[channel]]\nname = \"a\"\nshare = 0.6\n[[channel]]\nname = \"b\"\nshare = 0.3\n",
            "product.toml", "make 0.9, not 1"},
        Bad{"Nobody", kHead + kPlate + "[[step]]\nname = \"s\"\nwho = \"uncle\"\n", "product.toml:7", "machinist"},
        Bad{"Breaks", kHead + kPlate + "[[bought]]\nname = \"b\"\nprice = 3\nbreaks = [[50, 2.0], [20, 1.0]]\n",
            "product.toml:8", "rising"},
        Bad{"Days", kHead + kPlate + "[[sent_out]]\nname = \"s\"\nprice = 3\ndays = [9, 3]\n", "product.toml:8",
            "rising"},
        Bad{"NoSuchStep", kHead + kPlate + "[[bought]]\nname = \"b\"\nprice = 3\nat = \"milking\"\n", "product.toml:5",
            "Did you mean \"milling\""},
        Bad{"NoSuchVariant", kHead + kPlate + "only = [\"x\"]\n", "product.toml:2", "no variant \"x\""},
        Bad{"NoSuchPart", kHead + kPlate + "[[variant]]\nname = \"v\"\nsteps = { plate = \"other.step\" }\n",
            "product.toml:7", "Did you mean \"plates\""},
        Bad{"StepTwice", kHead + kPlate + "[[step]]\nname = \"s\"\n[[step]]\nname = \"s\"\n", "product.toml:7",
            "twice"},
        Bad{"VariantTwice", kHead + kPlate + "[[variant]]\nname = \"v\"\n[[variant]]\nname = \"v\"\n", "product.toml:7",
            "two variants"},
        Bad{"RouteTwice",
            kHead + kPlate + "[[route]]\nname = \"r\"\n[[route.step]]\nname = \"a\"\n[[route]]\nname = \"r\"\n" +
                "[[route.step]]\nname = \"a\"\n",
            "product.toml:9", "two routes"},
        Bad{"RouteOfNothing", kHead + kPlate + "[[route]]\nname = \"r\"\n", "product.toml:5", "no steps"},
        Bad{"TypedMachineMinutes",
            kHead + kPlate +
                "[[route]]\nname = \"r\"\n[[route.step]]\nname = \"m\"\ntakes = \"machine\"\nper_set_min = 3\n",
            "product.toml:7", "takes its minutes from the estimate"},
        Bad{"MachineThatLearns",
            kHead + kPlate +
                "[[route]]\nname = \"r\"\n[[route.step]]\nname = \"m\"\ntakes = \"machine\"\nlearning = 0.9\n",
            "product.toml:7", "does not learn"},
        Bad{"TakenTwice",
            kHead + kPlate + "[[route]]\nname = \"r\"\n[[route.step]]\nname = \"m\"\ntakes = \"bench\"\n" +
                "[[route.step]]\nname = \"n\"\ntakes = \"bench\"\n",
            "product.toml:10", "count twice"},
        Bad{"Batches", kHead + "batches = [10, 0]\n" + kPlate, "product.toml:2", "batch size"},
        Bad{"NotASection", kHead + "sales = 3\n" + kPlate, "product.toml:2", "[sales]"},
        Bad{"NotAList", kHead + "[milled]\nname = \"x\"\n", "product.toml:2", "[[milled]]"}),
    [](const testing::TestParamInfo<Bad>& row) { return std::string(row.param.name); });

TEST(Product, KitsThatHoldEachOtherAreTold) {
  const Folder folder;
  folder.write("a.toml", "[[kit]]\nfile = \"b.toml\"\n");
  folder.write("b.toml", "[[bought]]\nname = \"x\"\nprice = 1\n[[kit]]\nfile = \"a.toml\"\n");
  const auto product = loadProduct(folder.write("product.toml", kHead + kPlate + "[[kit]]\nfile = \"a.toml\"\n"));
  ASSERT_FALSE(product.has_value());
  EXPECT_THAT(product.error().where, HasSubstr("b.toml:4"));
  EXPECT_THAT(product.error().what, HasSubstr("holds itself"));
}

TEST(Product, AKitUsedTwiceIsTold) {
  const Folder folder;
  folder.write("a.toml", "[[bought]]\nname = \"x\"\nprice = 1\n");
  const auto product = loadProduct(
      folder.write("product.toml", kHead + kPlate + "[[kit]]\nfile = \"a.toml\"\n[[kit]]\nfile = \"a.toml\"\n"));
  ASSERT_FALSE(product.has_value());
  EXPECT_THAT(product.error().what, HasSubstr("used twice"));
}

TEST(Product, AKitCountsAsOftenAsItIsInASet) {
  const Folder folder;
  folder.write(
      "a.toml",
      "[[bought]]\nname = \"screw\"\nprice = 1\nquantity = 3\n[[step]]\nname = \"screw in\"\nper_set_min = 2\n");
  const auto product =
      loadProduct(folder.write("product.toml", kHead + kPlate + "[[kit]]\nfile = \"a.toml\"\nquantity = 2\n"));
  ASSERT_TRUE(product.has_value()) << sentence(product.error());
  EXPECT_DOUBLE_EQ(product->product.bought.at(0).quantity, 6);
  EXPECT_DOUBLE_EQ(product->product.steps.at(0).perSet_min.value(), 4);
}

TEST(Product, OwnRouteOfTheSameNameHolds) {
  const Folder folder;
  const auto product = loadProduct(folder.write(
      "product.toml", kHead + kPlate +
                          "[[route]]\nname = \"shop-built\"\n[[route.step]]\nname = \"mill it\"\nwho = \"outside\"\n"
                          "takes = \"machine\"\n[[route]]\nname = \"friends\"\n[[route.step]]\nname = \"m\"\n"
                          "takes = \"machine\"\n"));
  ASSERT_TRUE(product.has_value()) << sentence(product.error());
  ASSERT_EQ(product->routes.size(), 3u);
  EXPECT_EQ(product->routes[0].steps.size(), 1u);
  EXPECT_EQ(product->routes[1].name, "full custom");
  EXPECT_EQ(product->routes[2].name, "friends");
}

TEST(Product, RoutesThatShip) {
  const auto routes = builtInRoutes();
  ASSERT_EQ(routes.size(), 2u);
  EXPECT_EQ(routes[0].name, "shop-built");
  EXPECT_FALSE(routes[0].custom);
  EXPECT_EQ(routes[1].name, "full custom");
  EXPECT_TRUE(routes[1].custom);
  EXPECT_EQ(routes[1].everything, Who::Owner);
  for (const Route& route : routes)
    for (Takes takes : {Takes::Machine, Takes::Loading, Takes::SettingUp, Takes::Programming, Takes::Bench})
      EXPECT_EQ(
          std::count_if(route.steps.begin(), route.steps.end(), [&](const RouteStep& s) { return s.takes == takes; }),
          1)
          << route.name << " " << word(takes);
}

TEST(Product, StarterLoadsOnceItsStepFileIsThere) {
  const Folder folder;
  folder.write("chassis.step", "");
  const auto product = loadProduct(folder.write("product.toml", starterProduct()));
  ASSERT_TRUE(product.has_value()) << sentence(product.error());
  EXPECT_EQ(product->product.milled.at(0).pieces(), 2);
}

TEST(Product, SamplesLoad) {
  for (const char* name : {"medlar", "cringle", "sundew"}) {
    const auto product = loadProduct(std::string(CHIPLEDGER_SOURCE_DIR "/step_samples/product-") + name + ".toml");
    ASSERT_TRUE(product.has_value()) << sentence(product.error());
    EXPECT_EQ(product->product.variants.size(), 5u) << name;
  }
}

}  // namespace
