# SPDX-License-Identifier: MIT
# What every command refuses alike: outputs that would destroy something, values
# that cannot be, faulty profiles.

# Outputs that would destroy what is read, or each other, or a device.
evenfeed_case(measure/out_is_film EXIT 2 STDERR "--out no-table.mp4" "VIDEO no-table.mp4"
  ARGS measure no-table.mp4 --bench bench.toml --out no-table.mp4)
evenfeed_case(measure/out_is_bench EXIT 2 STDERR "--out ./bench.toml" "--bench bench.toml"
  ARGS measure no-table.mp4 --bench bench.toml --out ./bench.toml)
evenfeed_case(measure/out_twice EXIT 2 STDERR "--sightings-out a.csv" "--out a.csv"
  ARGS measure no-table.mp4 --bench bench.toml --out a.csv --sightings-out a.csv)
evenfeed_case(calibrate/out_is_film EXIT 2 STDERR "--out no-table.mp4"
  ARGS calibrate no-table.mp4 --out no-table.mp4)
evenfeed_case(calibrate/overlay_is_film EXIT 2 STDERR "--overlay no-table.mp4"
  ARGS calibrate no-table.mp4 --overlay no-table.mp4)
evenfeed_case(qualify/out_is_feeds EXIT 2 STDERR "--out one-feed/feeds.csv"
  ARGS qualify one-feed/feeds.csv --characteristics x_mm --out one-feed/feeds.csv)
evenfeed_case(qualify/out_twice EXIT 2 STDERR "--summary x" "--out x"
  ARGS qualify one-feed/feeds.csv --characteristics x_mm --out x --summary x)
evenfeed_case(qualify/out_device EXIT 1 STDERR "/dev/full" "this is a device"
  ARGS qualify one-feed/feeds.csv --characteristics x_mm --out /dev/full)
evenfeed_case(qualify/out_folder EXIT 1 STDERR "one-feed: this is a folder"
  ARGS qualify one-feed/feeds.csv --characteristics x_mm --out one-feed)
evenfeed_case(qualify/out_standard_output EXIT 0 STDOUT "feed,"
  ARGS qualify one-feed/feeds.csv --characteristics x_mm --quiet --out -)
evenfeed_case(report/out_is_input EXIT 2 STDERR "--out one-feed/feeds.csv"
  ARGS report one-feed --out one-feed/feeds.csv)
evenfeed_case(report/out_standard_output EXIT 0 STDOUT "<!DOCTYPE html>"
  ARGS report one-feed --out -)
evenfeed_case(plan/charts/out_standard_output EXIT 0 STDOUT "chart," ARGS plan charts --quiet --out -)
evenfeed_case(session/out_is_bench EXIT 2 STDERR "--out ./bench.toml" "--bench bench.toml"
  ARGS session no-table.mp4 --bench bench.toml --out .)
evenfeed_case(session/out_is_file EXIT 1 STDERR "--out bench.toml: this is not a folder"
  ARGS session no-table.mp4 --out bench.toml)
evenfeed_case(pair/out_is_input EXIT 2 STDERR "pairs.csv" "--order out/pairs.csv"
  ARGS pair sheet-K.csv --order out/pairs.csv --out out)
evenfeed_case(wear/out_is_store EXIT 2 STDERR "--db out/wear.json"
  ARGS wear --db out/wear.json --launcher A --out out)

# Values that cannot be, each refused by its name.
evenfeed_case(plan/camera/nan EXIT 2 STDERR "--eye-mm"
  ARGS plan camera --eye-mm nan,-1700,2400)
evenfeed_case(plan/order/formula EXIT 2 STDERR "--samples =K" "formula"
  ARGS plan order --samples =K,M --trials 8)
evenfeed_case(pair/no_caliper EXIT 2 STDERR "--caliper-sd: 0 is not a number above 0"
  ARGS pair sheet-K.csv sheet-M.csv --caliper-sd 0)
evenfeed_case(pair/no_difference EXIT 2 STDERR "--difference: 0 is not a number above 0"
  ARGS pair sheet-K.csv sheet-M.csv --difference 0)
evenfeed_case(qualify/named_twice EXIT 2 STDERR "'x_mm' stands twice"
  ARGS qualify one-feed/feeds.csv --characteristics x_mm,x_mm)
evenfeed_case(report/wrong_verdict EXIT 1 STDERR "wrong-session/tagged.csv:2, column 'verdict': 'maybe'"
  ARGS report wrong-session)
evenfeed_case(store/service/future EXIT 2 STDERR "--date 2199-01-01: this lies in the future"
  ARGS store service --db old.db --launcher bench-A --add wheel-cleaned --date 2199-01-01)
evenfeed_case(measure/slow_and_rate EXIT 2 STDERR "--slow and --rate say the same"
  ARGS measure no-table.mp4 --bench bench.toml --slow 8 --rate 240)
evenfeed_case(measure/slow_nothing EXIT 2 STDERR "--slow"
  ARGS measure no-table.mp4 --bench bench.toml --slow 0)
string(REPEAT x 300 long_name)
evenfeed_case(session/long_name EXIT 1 STDERR "--out ${long_name}: cannot be used"
  ARGS session no-table.mp4 --out ${long_name})

# A faulty profile is refused by file, line and key, whatever the command.
foreach(command "calibrate|no-table.mp4" "measure|no-table.mp4|--bench|bench.toml"
    "qualify|one-feed/feeds.csv" "report|one-feed" "session|no-table.mp4|--out|out"
    "wear|--db|absent.db|--launcher|A" "pair|sheet-K.csv|sheet-M.csv")
  string(REPLACE "|" ";" words ${command})
  list(GET words 0 name)
  evenfeed_case(${name}/profile_nan EXIT 1 STDERR "nan.toml:9, key 'ball.radius_mm'"
    ARGS ${words} --profile nan.toml)
  evenfeed_case(${name}/profile_unit EXIT 1 STDERR "metres.toml:8, key 'ball'" "5 to 200"
    ARGS ${words} --profile metres.toml)
  evenfeed_case(${name}/profile_unknown_key EXIT 1
    STDERR "unknown-key.toml:11, key 'ball.colour'" "mass_g, radius_mm"
    ARGS ${words} --profile unknown-key.toml)
  evenfeed_case(${name}/profile_unknown_section EXIT 1 STDERR "unknown-section.toml:19, key 'colours'"
    ARGS ${words} --profile unknown-section.toml)
  evenfeed_case(${name}/profile_syntax EXIT 1 STDERR "syntax.toml:4: "
    ARGS ${words} --profile syntax.toml)
  evenfeed_case(${name}/profile_absent EXIT 1 STDERR "--profile absent" "table-tennis"
    ARGS ${words} --profile absent)
endforeach()
