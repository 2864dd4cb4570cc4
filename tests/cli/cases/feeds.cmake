# SPDX-License-Identifier: MIT
# Commands that read measured feeds: qualify, pair, report.

# qualify
evenfeed_case(qualify/one_feed EXIT 0
  STDOUT "NOT KNOWN YET" "written:\n  tagged.csv    every feed with its verdict and why\n"
  WRITES tagged.csv summary.json FILES tagged.csv=qualify_one_feed.csv
  ARGS qualify one-feed/feeds.csv --characteristics x_mm,y_mm --out tagged.csv
       --summary summary.json)
evenfeed_case(qualify/gate EXIT 3 STDOUT "NOT KNOWN YET"
  ARGS qualify one-feed/feeds.csv --characteristics x_mm,y_mm --gate)
evenfeed_case(qualify/limits EXIT 3 STDOUT "allowed is 70.0 mm"
  ARGS qualify uneven.csv --characteristics x_mm --gate)
evenfeed_case(qualify/no_limits EXIT 0 STDOUT "nothing was asked of the spread"
  ARGS qualify uneven.csv --characteristics x_mm --gate --no-limits)
evenfeed_case(qualify/overruled EXIT 0 STDOUT "1 verdict by hand: feed 1 review -> keep"
  WRITES own.csv FILES own.csv=qualify_overruled.csv
  ARGS qualify one-feed/feeds.csv --characteristics x_mm,y_mm --overrule overrule.csv --out own.csv)
evenfeed_case(qualify/json EXIT 0
  STDOUT "\"ready\": " "\"written\": " "\"tagged.csv\"\n"
  WRITES tagged.csv FILES tagged.csv=qualify_sheet_K.csv
  ARGS qualify sheet-K.csv --characteristics x_mm,speed_in_mps --json --out tagged.csv)
evenfeed_case(qualify/overruled_nobody EXIT 1 STDERR "overrule-nobody.csv:2, column 'feed': there is no feed '9'"
  ARGS qualify one-feed/feeds.csv --characteristics x_mm,y_mm --overrule overrule-nobody.csv)
evenfeed_case(qualify/absent EXIT 1 STDERR "absent.csv: no such file" ARGS qualify absent.csv)
evenfeed_case(qualify/empty EXIT 1 STDERR "empty.csv: the file is empty" ARGS qualify empty.csv)
evenfeed_case(qualify/bad_cell EXIT 1 STDERR "bad-cell.csv:3, column 'x_mm': '6x0.0'"
  ARGS qualify bad-cell.csv --characteristics x_mm --out tagged.csv --summary summary.json)
evenfeed_case(qualify/no_column EXIT 1 STDERR "there is no column 'colour'"
  ARGS qualify bad-cell.csv --characteristics colour --out tagged.csv)

# pair
set(pair_writes K-M K-M/pairs.csv K-M/left_out.csv K-M/balance.csv K-M/effect.json K-M/pair.html)
evenfeed_case(pair/differ EXIT 0
  STDOUT "sheet-K's return speed was higher by" "written:\n  K-M/pair.html     the page: open it\n"
  WRITES ${pair_writes}
  FILES K-M/pairs.csv=pair_pairs.csv K-M/left_out.csv=pair_left_out.csv K-M/balance.csv=pair_balance.csv
  ARGS pair sheet-K.csv sheet-M.csv --out K-M)
evenfeed_case(pair/options_first EXIT 2 STDERR "--ratio 0: allowed is a number from 1 to 100"
  ARGS pair no-such.csv sheet-M.csv --ratio 0)
evenfeed_case(pair/pictures EXIT 0 STDOUT "drawn  6 files: its maps and charts"
  WRITES drawn drawn/difference-ret-speed-mps.png drawn/difference-ret-speed-mps.svg
    drawn/feeds-alike.png drawn/feeds-alike.svg drawn/trials-ret-speed-mps.png drawn/trials-ret-speed-mps.svg
  ARGS pair sheet-K.csv sheet-M.csv --outcome ret_speed_mps --pictures drawn)
evenfeed_case(pair/quiet EXIT 0 STDOUT_FILE nothing.txt ARGS pair sheet-K.csv sheet-M.csv --quiet)
evenfeed_case(pair/json EXIT 0 STDOUT "\"program_version\": \"${PROJECT_VERSION}\""
  ARGS pair sheet-K.csv sheet-M.csv --json)
evenfeed_case(pair/json_written EXIT 0 STDOUT "\"written\": " "\"K-M/pair.html\",\n"
  WRITES ${pair_writes} ARGS pair sheet-K.csv sheet-M.csv --json --out K-M)
evenfeed_case(pair/counts_json EXIT 0 STDOUT "\"differ\": true" ARGS pair --counts 4/22,19/21 --json)
evenfeed_case(pair/declared EXIT 0 STDOUT "differ in 2 declared properties: thickness_mm (2.0, 1.8)"
  ARGS pair sheet-K.csv sheet-M.csv --samples samples.csv)
evenfeed_case(pair/elsewhere EXIT 0 STDOUT "cannot be told apart in height"
  ARGS pair sheet-K.csv sheet-M.csv --outcomes outcomes-K.csv outcomes-M.csv)
evenfeed_case(pair/three EXIT 0 STDOUT "sets of 3 matched on speed at the bounce, landing along the table and landing across the table"
  WRITES ${pair_writes} FILES K-M/pairs.csv=pair_three.csv K-M/balance.csv=pair_three_balance.csv
  ARGS pair sheet-K.csv sheet-M.csv one-more.csv --out K-M)
evenfeed_case(pair/wide EXIT 0 STDOUT "36 pairs matched on landing along the table and speed at the bounce"
  WRITES ${pair_writes} FILES K-M/pairs.csv=pair_wide.csv
  ARGS pair sheet-K.csv sheet-M.csv --no-calipers --characteristics x_mm,speed_in_mps --out K-M)
evenfeed_case(pair/kept_only EXIT 0 STDOUT "out of 30 of K, 36 of M usable feeds"
  ARGS pair sheet-K-review.csv sheet-M.csv --names K,M)
evenfeed_case(pair/review EXIT 0 STDOUT "out of 36 of K, 36 of M usable feeds"
  ARGS pair sheet-K-review.csv sheet-M.csv --names K,M --include review)
evenfeed_case(pair/ratio EXIT 0 STDOUT "36 pairs matched on speed at the bounce, landing along the table and landing across the table, out of 30 of K, 36 of M"
  WRITES ${pair_writes} FILES K-M/pairs.csv=pair_ratio.csv K-M/left_out.csv=pair_ratio_left_out.csv
  ARGS pair sheet-K-review.csv sheet-M.csv --names K,M --ratio 2 --out K-M)
evenfeed_case(pair/planned EXIT 0 STDOUT "50 pairs were planned and 35 found"
  ARGS pair sheet-K.csv sheet-M.csv --planned 50)
evenfeed_case(pair/counts EXIT 0 STDOUT "4/22 and 19/21 differ: difference -72.3 %"
  ARGS pair --counts 4/22,11/20,19/21)
evenfeed_case(pair/counts_alike EXIT 0 STDOUT "11/20 and 12/23 cannot be told apart"
  ARGS pair --counts 11/20,12/23)
evenfeed_case(pair/bad_count EXIT 2 STDERR "'14/9'" "successes/trials" ARGS pair --counts 14/9,1/2)
evenfeed_case(pair/order EXIT 0 STDOUT "18 pairs matched on speed at the bounce, landing along the table and landing across the table, out of 18 of K, 18 of M"
  WRITES ${pair_writes} FILES K-M/pairs.csv=pair_order.csv K-M/balance.csv=pair_order_balance.csv
  ARGS pair sheet-K.csv --order order.csv --no-calipers --out K-M)
evenfeed_case(pair/order_unfilled EXIT 0 STDOUT "order-longer.csv: 1 of 19 planned trials of K has no feed"
  ARGS pair sheet-K.csv --order order-longer.csv --no-calipers)
evenfeed_case(pair/order_twice EXIT 1 STDERR "order-twice.csv:4, column 'order': feed 1 is of 'M' here"
  "count the feeds of the whole trial"
  ARGS pair sheet-K.csv --order order-twice.csv --no-calipers)
evenfeed_case(pair/order_nothing EXIT 1 STDERR "order.csv: no feed of 'P'"
  ARGS pair sheet-K.csv --order order.csv --names K,P)
evenfeed_case(pair/one_file EXIT 1 STDERR "sheet-K.csv: there is no column 'sample' to split it by" "--order"
  ARGS pair sheet-K.csv)
evenfeed_case(pair/no_file EXIT 2 STDERR "two feeds files" ARGS pair)
# What was said at the bench splits the file as the sheet does.
evenfeed_case(pair/logged EXIT 0 STDOUT "18 pairs matched on speed at the bounce, landing along the table and landing across the table, out of 18 of K, 18 of M"
  ARGS pair logged.csv --no-calipers)
evenfeed_case(pair/logged_nobody EXIT 1 STDERR "logged.csv: no feed in it is of 'P'" "K, M"
  ARGS pair logged.csv --names K,P)
evenfeed_case(pair/logged_one_name EXIT 2 STDERR "--names K" ARGS pair logged.csv --names K)
evenfeed_case(pair/same_name EXIT 2 STDERR "--names K,M" ARGS pair sheet-K.csv sheet-K.csv)
evenfeed_case(pair/absent EXIT 1 STDERR "absent.csv: no such file" ARGS pair absent.csv sheet-M.csv)
evenfeed_case(pair/bad_cell EXIT 1 STDERR "bad-cell.csv:3, column 'x_mm': '6x0.0'"
  ARGS pair bad-cell.csv sheet-M.csv --characteristics x_mm --out K-M)
evenfeed_case(pair/twice EXIT 1 STDERR "outcomes-twice.csv:3, column 'feed': feed 5 stands twice"
  ARGS pair sheet-K.csv sheet-M.csv --outcomes outcomes-K.csv outcomes-twice.csv --out K-M)
evenfeed_case(pair/no_outcome EXIT 1 STDERR "there is no column 'colour'"
  ARGS pair sheet-K.csv sheet-M.csv --outcome colour)
evenfeed_case(pair/wrong_ratio EXIT 2 STDERR "--ratio 0: allowed is" ARGS pair sheet-K.csv sheet-M.csv --ratio 0)

# report
evenfeed_case(report/done EXIT 0 STDOUT_FILE report_done.txt WRITES one-feed/report.html
  ARGS report one-feed --profile court.toml)
evenfeed_case(report/quiet EXIT 0 STDOUT_FILE nothing.txt WRITES one-feed/report.html
  ARGS report one-feed --quiet)
evenfeed_case(report/other_game EXIT 0 STDOUT_FILE report_done.txt WRITES one-feed/report.html
  ARGS report one-feed --profile pickleball)
evenfeed_case(report/csv EXIT 0 STDOUT "2026-03-14T15:10:00Z,,bench-A,sheet K,,no" ARGS report kept-session --csv)
evenfeed_case(report/csv_out EXIT 2 STDERR "leave out --out" ARGS report kept-session --csv --out a.html)
evenfeed_case(report/absent EXIT 1 STDERR "absent: there is no such folder" ARGS report absent)
evenfeed_case(report/bad_cell EXIT 1 STDERR "bad-session/tagged.csv:3, column 'x_mm': 'inf'"
  ARGS report bad-session)
evenfeed_case(report/no_place EXIT 1 STDERR "no-such-folder/a.html"
  ARGS report one-feed --out no-such-folder/a.html)
