// SPDX-License-Identifier: MIT
#include "pairing/sample.h"

#include "base/error.h"
#include "pairing/trial_sheet.h"
#include "unit/pairing/invented_samples.h"

#include <doctest/doctest.h>

using namespace evenfeed;

TEST_CASE("samples from files: verdicts, gaps, what is common") {
  const std::string head = "feed,x_mm,y_mm,verdict\n";
  const CsvTable a = csv(head + "1,600,20,discard\n" + "2,610,21,keep\n" +
                             "3,,22,keep\n4,620,23,review\n" +
                             "5,630,24,keep\n6,640,25,keep\n7,650,20,keep\n"
                             "8,600,20,keep\n9,611,20,keep\n10,602,21,keep\n"
                             "11,603,20,keep\n12,604,22,keep\n",
                         "a.csv");
  const CsvTable b = csv("feed,x_mm,y_mm,kick\n" + rows(12, ",0.8"), "b.csv");
  const Samples got =
      read_samples({a, b}, {"K", "M"}, {"x_mm", "y_mm", "kick"}, false, {});
  CHECK(got.characteristics == std::vector<std::string>{"x_mm", "y_mm"});
  CHECK(got.all[0].size() == 9);
  CHECK(got.all[0].not_kept == 2);
  CHECK(got.all[0].not_known == 1);
  CHECK(got.all[0].judged);
  CHECK_FALSE(got.all[1].judged);
  CHECK(got.all[0].feeds.front() == 2);
  SampleRules rules;
  rules.include_review = true;
  CHECK(read_samples({a, b}, {"K", "M"}, {"x_mm", "y_mm"}, true, rules)
            .all[0]
            .size() == 10);
  const CsvTable none = csv(head + "1,600,20,discard\n2,610,21,discard\n");
  CHECK_THROWS_AS(read_samples({none, b}, {"K", "M"}, {"x_mm"}, true, {}),
                  InputError);
  CHECK_THROWS_AS(read_samples({a, b}, {"K", "M"}, {"kick"}, true, {}),
                  InputError);
}

TEST_CASE("what films do not agree on is not matched on, unless asked for") {
  const std::string head = "feed,x_mm,y_mm\n";
  const CsvTable a = csv(head + rows(12, ""), "a.csv");
  const CsvTable b = csv(head + rows(12, ""), "b.csv");
  // x spreads by 23 mm, y by 2 mm.
  std::vector<SharedUncertainty> films{{{{"x_mm", 1}, {"y_mm", 1}}, {}},
                                       {{{"x_mm", 1}, {"y_mm", 1}}, {}}};
  const auto matched_on = [&](bool asked_for,
                              const std::vector<SharedUncertainty>& shared) {
    return read_samples(
        {a, b}, {"K", "M"}, {"x_mm", "y_mm"}, asked_for, {}, shared);
  };
  const Samples got = matched_on(false, films);
  CHECK(got.characteristics == std::vector<std::string>{"x_mm", "y_mm"});
  CHECK(got.not_matched == std::set<std::string>{"y_mm"});
  CHECK(got.all[1].matched_on(0));
  CHECK_FALSE(got.all[1].matched_on(1));
  CHECK(got.all[1].shared_in("x_mm") == 1);
  CHECK(got.all[1].shared_in("kick") == 0);
  CHECK(matched_on(true, films).not_matched.empty());
  CHECK_THROWS_AS(read_samples({a, b}, {"K", "M"}, {"y_mm"}, false, {}, films),
                  InputError);
  CHECK(matched_on(true, films).characteristics.size() == 2);
  CHECK(matched_on(false, {}).characteristics.size() == 2);
  // What both err alike does not keep them apart.
  for (SharedUncertainty& film : films) {
    film.causes = {{"drag", "", 0.5, 0.05, 0, {{"x_mm", 1}, {"y_mm", 1}}}};
  }
  CHECK(matched_on(false, films).not_matched.empty());
}

TEST_CASE("one film of several samples, split by its order sheet") {
  const CsvTable feeds = csv("feed,x_mm,y_mm\n" + rows(8, ""), "feeds.csv");
  const CsvTable sheet =
      csv("order,purpose,sample,feed\n1,warm-up,,\n2,trial,M,2\n"
          "3,trial,K,\n4,trial,K,5\n5,trial,M,99\n",
          "order.csv");
  // Feed 3 is K's by its order.
  CHECK(samples_in_order(sheet) == std::vector<std::string>{"K", "M"});
  const CsvTable k = feeds_of_sample(feeds, sheet, "K");
  // The other sample's feeds do not lack in a part of the file.
  const CsvTable apart = csv("feed,x_mm,order\n2,600,1\n7,610,2\n8,630,3\n");
  SampleRules rules;
  const auto warned = [&] {
    return has(read_samples({apart, apart}, {"K", "M"}, {"x_mm"}, true, rules)
                   .warnings,
               "have no row");
  };
  CHECK(warned());
  rules.split = true;
  CHECK_FALSE(warned());
  REQUIRE(k.rows() == 2);
  CHECK(k.text(0, k.require_column("feed")) == "3");
  CHECK(k.text(1, k.require_column("order")) == "4");
  CHECK(feeds_of_sample(feeds, sheet, "M").rows() == 1);
  CHECK_THROWS_AS(feeds_of_sample(feeds, sheet, "P"), InputError);
  const CsvTable twice = csv("order,sample,feed\n1,K,3\n3,K,\n", "twice.csv");
  CHECK_THROWS_AS(feeds_of_sample(feeds, twice, "K"), InputError);
  CHECK_NOTHROW(require_one_sample_a_feed(sheet));
}
