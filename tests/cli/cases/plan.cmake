# SPDX-License-Identifier: MIT
# The topics of plan, each with its own options.

evenfeed_case(plan/no_topic EXIT 2 STDERR "evenfeed plan needs one of: trials, order" ARGS plan)
evenfeed_case(plan/charts/table EXIT 0
  STDOUT "chart           centre  warning   action" "written:\n  charts.csv  the charts, as numbers\n"
  WRITES charts.csv FILES charts.csv=plan_charts.csv
  ARGS plan charts --run-length 370 --characteristics 2 --shifts 0,0.5 --out charts.csv)
evenfeed_case(plan/charts/quiet EXIT 0 STDOUT_FILE nothing.txt ARGS plan charts --quiet)
evenfeed_case(plan/charts/wrong_run_length EXIT 2 STDERR "--run-length 3: allowed is" "20 to 100000"
  ARGS plan charts --run-length 3)
evenfeed_case(plan/trials/sd EXIT 0 STDOUT "0.1      99               142"
  ARGS plan trials --sd 0.35 --difference 0.1 --paired-share 0.7)
evenfeed_case(plan/trials/json EXIT 0 STDOUT "\"trials_per_sample\": 142"
  ARGS plan trials --sd 0.35 --difference 0.1 --paired-share 0.7 --json)
evenfeed_case(plan/order/json EXIT 0 STDOUT "\"purpose\": \"warm-up\""
  ARGS plan order --samples K,M --trials 8 --json)
evenfeed_case(plan/factors/json EXIT 0 STDOUT "\"separable\": \"no\"" ARGS plan factors samples.csv --json)
evenfeed_case(plan/camera/json EXIT 0 STDOUT "\"view\": \"clear\""
  ARGS plan camera --height 2400 --distance 900 --json)
evenfeed_case(plan/charts/json EXIT 0 STDOUT "\"chart\": \"individuals\"" ARGS plan charts --json)
evenfeed_case(plan/charts/json_and_table EXIT 2 STDERR "--json" "--out"
  ARGS plan charts --json --out -)
evenfeed_case(plan/trials/wrong_number EXIT 2 STDERR "--difference 0.1,b: 'b' is not a number"
  "joined by commas" ARGS plan trials --sd 1 --difference 0.1,b)
evenfeed_case(plan/camera/two_of_three EXIT 2 STDERR "--eye-mm: 3 values joined by commas are needed"
  ARGS plan camera --eye-mm 1,2)
evenfeed_case(plan/trials/rates EXIT 0 STDOUT "all feeds alike: 82 trials per sample"
  ARGS plan trials --rates 0.6,0.8)
evenfeed_case(plan/trials/nothing EXIT 2 STDERR "one of --sd, --pilot or --rates" ARGS plan trials)
evenfeed_case(plan/trials/not_a_pilot EXIT 1 STDERR "court.toml: this is not JSON"
  ARGS plan trials --pilot court.toml --difference 1)
evenfeed_case(plan/order/files EXIT 0
  STDOUT "    1  warm-up   . . . . ." "written:\n  order/order.html  the sheet: print it, tick it\n"
  WRITES order order/order.csv order/order.html FILES order/order.csv=plan_order.csv
  ARGS plan order --samples K,M --trials 8 --seed 7 --out order)
evenfeed_case(plan/order/three_by_turns EXIT 0 STDOUT "changes of sample"
  WRITES order order/order.csv order/order.html FILES order/order.csv=plan_order_three.csv
  ARGS plan order --samples K,M,N --trials 6 --turn 1 --seed 7 --out order)
evenfeed_case(plan/order/cost EXIT 0 STDOUT "changes of sample" ARGS plan order --samples K,M --trials 40)
evenfeed_case(plan/order/one_sample EXIT 2 STDERR "samples = 1" ARGS plan order --samples K)
evenfeed_case(plan/factors/aliased EXIT 0 STDOUT "it is settled by"
  ARGS plan factors samples.csv)
evenfeed_case(plan/factors/no_column EXIT 1 STDERR "there is no column 'sample'"
  ARGS plan factors bad-cell.csv)
evenfeed_case(plan/camera/files EXIT 0
  STDOUT "s_x mm" "written:\n  camera/camera.html  the page: open it\n"
  WRITES camera camera/camera.html camera/places.csv FILES camera/places.csv=plan_camera.csv
  ARGS plan camera --eye-mm 685,-1700,2400 --out camera)
evenfeed_case(plan/camera/blind EXIT 0 STDOUT "DEGENERATE"
  ARGS plan camera --eye-mm 150,0,2400 --target-mm 150,0,0)
evenfeed_case(plan/camera/no_place EXIT 2 STDERR "one of --height with --distance, --eye-mm and --bench"
  ARGS plan camera)
evenfeed_case(plan/camera/as_an_owner_knows_it EXIT 0 STDOUT "s_x mm"
  ARGS plan camera --height 2400 --distance 900 --lens 1x)
evenfeed_case(plan/camera/half_a_place EXIT 2 STDERR "--height and --distance belong together"
  ARGS plan camera --height 2400)
evenfeed_case(plan/camera/two_lenses EXIT 2 STDERR "--lens and --focal-px"
  ARGS plan camera --height 2400 --distance 900 --lens 2x --focal-px 1000)
evenfeed_case(plan/camera/below EXIT 2 STDERR "above the surface"
  ARGS plan camera --eye-mm 0,0,-5)
