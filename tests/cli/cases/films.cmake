# SPDX-License-Identifier: MIT
# Commands that read or make a film.

# simulate
evenfeed_case(simulate/absent_scene EXIT 1 STDERR "--scene absent.toml: neither a file nor a known scene" "half720p120"
  ARGS simulate --scene absent.toml --out film)
evenfeed_case(simulate/bad_seed EXIT 2 STDERR "--seed x: 'x' is not a whole number." ARGS simulate --seed x --out film)
evenfeed_case(simulate/negative_seed EXIT 2 STDERR "--seed: -1 is not a whole number from 0 on"
  ARGS simulate --seed -1 --out film)
evenfeed_case(simulate/huge_seed EXIT 2 STDERR "is not a whole number from 0 to 18446744073709551615"
  ARGS simulate --seed 99999999999999999999 --out film)
evenfeed_case(plan/negative_seed EXIT 2 STDERR "--seed: -7 is not a whole number from 0 on"
  ARGS plan order --samples K,M --seed -7)
evenfeed_case(simulate/no_folder EXIT 2 STDERR "--out is required" ARGS simulate)
evenfeed_case(simulate/wrong_file EXIT 1 STDERR "court.toml:"
  ARGS simulate --scene court.toml --out film)

# calibrate
evenfeed_case(calibrate/absent EXIT 1 STDERR "absent.mp4: there is no such file"
  ARGS calibrate absent.mp4)
evenfeed_case(calibrate/empty EXIT 1 STDERR "empty.mp4: the file is empty"
  ARGS calibrate empty.mp4)
evenfeed_case(calibrate/text EXIT 1 STDERR "text.mp4: this is not a film"
  ARGS calibrate text.mp4)
evenfeed_case(calibrate/truncated EXIT 1 STDERR "truncated.mp4: " "copy it again"
  ARGS calibrate truncated.mp4)
evenfeed_case(calibrate/no_table EXIT 1 STDERR "no-table.mp4: no table tennis table found" "--points"
  ARGS calibrate no-table.mp4)
evenfeed_case(calibrate/absent_lens EXIT 1 STDERR "absent.toml: no such file"
  ARGS calibrate no-table.mp4 --lens absent.toml)
evenfeed_case(calibrate/wrong_points EXIT 1 STDERR "bad-cell.csv: there is no column 'name'"
  ARGS calibrate no-table.mp4 --points bad-cell.csv)
evenfeed_case(calibrate/mark EXIT 0 STDOUT "evenfeed calibrate no-table.mp4 --profile table-tennis \
--slow 2 --points bench-marks.csv --out bench.toml"
  WRITES bench-mark.html ARGS calibrate no-table.mp4 --mark --slow 2)
evenfeed_case(calibrate/mark_beside EXIT 0 STDOUT "one-feed/b-mark.html: open it in a browser"
  WRITES one-feed/b-mark.html ARGS calibrate no-table.mp4 --mark --out one-feed/b.toml)
evenfeed_case(calibrate/mark_no_film EXIT 1 STDERR "text.mp4: this is not a film"
  ARGS calibrate text.mp4 --mark)
evenfeed_case(calibrate/overlay_no_picture EXIT 2 STDERR "--overlay seen.txt: allowed is the name of a picture"
  ARGS calibrate no-table.mp4 --overlay seen.txt)
evenfeed_case(calibrate/wrong_end EXIT 2 STDERR "--launcher-end: up"
  ARGS calibrate no-table.mp4 --launcher-end up)

# live
evenfeed_case(live/no_film EXIT 2 STDERR "SOURCE is required" ARGS live --out out)
evenfeed_case(live/both EXIT 2 STDERR "leave out --rehearse and --fast"
  ARGS live tcp://127.0.0.1:1 --rehearse no-table.mp4 --out out)
evenfeed_case(live/size EXIT 2 STDERR "--size 12: give width and height" ARGS live /dev/video0 --size 12 --out out)
evenfeed_case(live/no_camera EXIT 1 STDERR "cannot be opened" ARGS live tcp://127.0.0.1:1 --out out)
evenfeed_case(live/film_as_camera EXIT 1 STDERR "Play it with --rehearse" ARGS live no-table.mp4 --out out)
evenfeed_case(live/file_as_camera EXIT 1 STDERR "order.csv: this is a file, no stream" ARGS live order.csv --out out)
evenfeed_case(live/no_out EXIT 2 STDERR "--out FOLDER is required" ARGS live --rehearse no-table.mp4)
evenfeed_case(live/resume_and_out EXIT 2 STDERR "leave out SOURCE" ARGS live --resume one-feed --out out)
evenfeed_case(live/resume_nothing EXIT 1 STDERR "there is no live session in it" ARGS live --resume one-feed)
evenfeed_case(live/listen_no_page EXIT 2 STDERR "--listen is for the page"
  ARGS live --rehearse no-table.mp4 --out out --listen 0.0.0.0 --no-page)
evenfeed_case(live/listen_anywhere EXIT 2 STDERR "--listen 0.0.0.0: give the address"
  ARGS live --rehearse no-table.mp4 --out out --listen 0.0.0.0)
evenfeed_case(live/listen_nowhere EXIT 1 STDERR "203.0.113.7:0: the page cannot be shown there"
  ARGS live --rehearse no-table.mp4 --out out --listen 203.0.113.7)
evenfeed_case(live/film_rate EXIT 2 STDERR "--size and --rate are of a camera"
  ARGS live --rehearse no-table.mp4 --out out --rate 60)
evenfeed_case(live/order_filled EXIT 1 STDERR "order-filled.csv:2, column 'feed': this row was fed already"
  ARGS live --rehearse no-table.mp4 --out out --order order-filled.csv)
evenfeed_case(live/order_empty EXIT 1 STDERR "empty.csv: the file is empty"
  ARGS live --rehearse no-table.mp4 --out out --order empty.csv --no-page)
evenfeed_case(live/order_absent EXIT 1 STDERR "absent.csv: no such file"
  ARGS live --rehearse no-table.mp4 --out out --order absent.csv)
evenfeed_case(live/absent EXIT 1 STDERR "absent.mp4: there is no such file"
  ARGS live --rehearse absent.mp4 --out out)

# doctor; a machine without cameras is as good as one with.
evenfeed_case(doctor/none EXIT 0 STDOUT "no capture device in one-feed"
  ARGS doctor --size 160x120 --rate 5 --cameras one-feed)
evenfeed_case(doctor/no_device EXIT 0 STDOUT "cameras/video0: it is no device"
  ARGS doctor --size 160x120 --rate 5 --cameras cameras)
evenfeed_case(doctor/json EXIT 0 STDOUT "\"may_begin\": true"
  ARGS doctor --size 160x120 --rate 5 --cameras one-feed --json)
evenfeed_case(doctor/no_folder EXIT 1 STDERR "absent: this folder cannot be read"
  ARGS doctor --cameras absent)
evenfeed_case(doctor/odd_size EXIT 2 STDERR "--size 161x120: films have even" ARGS doctor --size 161x120)
evenfeed_case(doctor/size EXIT 2 STDERR "--size big: give width and height" ARGS doctor --size big)
evenfeed_case(doctor/rate EXIT 2 STDERR "--rate" ARGS doctor --rate 0)

# clip
evenfeed_case(clip/no_feeds EXIT 2 STDERR "--feeds is required"
  ARGS clip no-table.mp4 --from one-feed --out clips)
evenfeed_case(clip/wrong_feeds EXIT 2
  STDERR "--feeds 1,b: 'b' is not a whole number" "allowed are whole numbers joined by commas, as 12,21"
  ARGS clip no-table.mp4 --feeds 1,b --from one-feed --out clips)
evenfeed_case(clip/too_slow EXIT 2 STDERR "--slow"
  ARGS clip no-table.mp4 --feeds 1 --from one-feed --out clips --slow 0)
evenfeed_case(clip/no_session EXIT 1 STDERR "one-feed: it does not tell which film it came from"
  ARGS clip no-table.mp4 --feeds 1 --from one-feed --out clips)
evenfeed_case(clip/no_folder EXIT 1 STDERR "absent: there is no such folder"
  ARGS clip no-table.mp4 --feeds 1 --from absent --out clips)
evenfeed_case(clip/no_feed EXIT 1 STDERR "--feeds 7: there is no such feed" "Its feeds are"
  ARGS clip no-table.mp4 --feeds 7 --from one-feed --out clips)
evenfeed_case(clip/other_film EXIT 1
  STDERR "no-table.mp4: this is not the film of kept-session: it has" "films/monday.mp4"
  ARGS clip no-table.mp4 --feeds 1 --from kept-session --out clips)

# overlay
evenfeed_case(overlay/no_film EXIT 2 STDERR "FILM"
  ARGS overlay --from one-feed --pairs 1+1 --out pairs)
evenfeed_case(overlay/no_pairs EXIT 2 STDERR "which pairs"
  ARGS overlay no-table.mp4 --from one-feed --out pairs)
evenfeed_case(overlay/no_rows EXIT 2 STDERR "--pairs 3: rows are those of a file; say which with --matched"
  ARGS overlay no-table.mp4 --from one-feed --pairs 3 --out pairs)
evenfeed_case(overlay/wrong_pairs EXIT 2 STDERR "--pairs 3-7: allowed are rows of pairs.csv, as 3,7"
  ARGS overlay no-table.mp4 --from one-feed --pairs 3-7 --out pairs)
evenfeed_case(overlay/one_folder EXIT 2 STDERR "--from: 1 folder for 2 films; give one for each"
  ARGS overlay no-table.mp4 text.mp4 --from one-feed --pairs 1+1 --out pairs)
evenfeed_case(overlay/three_names EXIT 2 STDERR "--names: two names are needed, as K,M"
  ARGS overlay no-table.mp4 --from one-feed --pairs 1+1 --names K,M,N --out pairs)
evenfeed_case(overlay/wrong_form EXIT 2 STDERR "--as"
  ARGS overlay no-table.mp4 --from one-feed --pairs 1+1 --as heap --out pairs)
evenfeed_case(overlay/no_pairs_file EXIT 1 STDERR "absent.csv"
  ARGS overlay no-table.mp4 --from one-feed --matched absent.csv --out pairs)
evenfeed_case(overlay/not_pairs EXIT 1 STDERR "sheet-K.csv" "a_feed"
  ARGS overlay no-table.mp4 --from one-feed --matched sheet-K.csv --out pairs)
evenfeed_case(overlay/no_row EXIT 1 STDERR "--pairs 7: there is no such pair in matched.csv" "Its pairs are 1 to 2"
  ARGS overlay no-table.mp4 --from one-feed --matched matched.csv --pairs 7 --out pairs)
evenfeed_case(overlay/unmatched EXIT 1 STDERR "--pairs 1+2: these two feeds are not a pair in matched.csv"
  ARGS overlay no-table.mp4 --from one-feed --matched matched.csv --pairs 1+2 --out pairs)
evenfeed_case(overlay/no_feed EXIT 1 STDERR "--pairs: feed 7: there is no such feed" "Its feeds are"
  ARGS overlay no-table.mp4 --from one-feed --pairs 1+7 --out pairs)
evenfeed_case(overlay/no_session EXIT 1 STDERR "one-feed: it does not tell which film it came from"
  ARGS overlay no-table.mp4 --from one-feed --pairs 1+1 --out pairs)
evenfeed_case(overlay/other_film EXIT 1
  STDERR "no-table.mp4: this is not the film of kept-session: it has" "films/monday.mp4"
  ARGS overlay no-table.mp4 --from kept-session --pairs 1+2 --out pairs)
evenfeed_case(measure/wrong_microphone EXIT 2 STDERR "--microphone 1,2: allowed are three numbers"
  ARGS measure no-table.mp4 --bench bench.toml --microphone 1,2)
evenfeed_case(measure/deaf_microphone EXIT 2 STDERR "leave out --no-sound"
  ARGS measure no-table.mp4 --bench bench.toml --no-sound --microphone sample)
evenfeed_case(session/wrong_pictures EXIT 2 STDERR "--pictures"
  ARGS session no-table.mp4 --out out --pictures some)

evenfeed_case(calibrate/json_and_mark EXIT 2 STDERR "--json tells of a camera"
  ARGS calibrate no-table.mp4 --mark --json)
evenfeed_case(session/pictures_meant EXIT 2 STDERR "Did you mean 'doubtful'?"
  ARGS session no-table.mp4 --out out --pictures doubtfull)

# measure
evenfeed_case(measure/absent_bench EXIT 1 STDERR "absent.toml: no such file"
  ARGS measure no-table.mp4 --bench absent.toml)
evenfeed_case(measure/wrong_bench EXIT 1 STDERR "court.toml:" "'camera'"
  ARGS measure no-table.mp4 --bench court.toml)
evenfeed_case(measure/empty EXIT 1 STDERR "empty.mp4: the file is empty"
  ARGS measure empty.mp4 --bench bench.toml)
evenfeed_case(measure/truncated EXIT 1 STDERR "truncated.mp4: "
  ARGS measure truncated.mp4 --bench bench.toml)
evenfeed_case(measure/bad_sightings EXIT 1 STDERR "bad-sightings.csv:3, column 'u_px'"
  ARGS measure --sightings bad-sightings.csv --bench bench.toml)
evenfeed_case(measure/no_time EXIT 1 STDERR "no-time.csv: there is no column 't_s'"
  ARGS measure --sightings no-time.csv --bench bench.toml)
evenfeed_case(measure/no_source EXIT 2 STDERR "--sightings FILE" ARGS measure --bench bench.toml)
evenfeed_case(measure/bad_sample EXIT 2 STDERR "--sample-x" "99999"
  ARGS measure no-table.mp4 --bench bench.toml --sample-x 99999)
evenfeed_case(measure/wrong_spin EXIT 2 STDERR "--spin: sideways"
  ARGS measure no-table.mp4 --bench bench.toml --spin sideways)
evenfeed_case(measure/no_ball EXIT 1 STDERR "no-table.mp4: no feed was found"
  ARGS measure no-table.mp4 --bench bench.toml)
evenfeed_case(measure/no_ball_sightings EXIT 1 STDERR "no feed was found" WRITES seen.csv
  ARGS measure no-table.mp4 --bench bench.toml --sightings-out seen.csv)

# session
evenfeed_case(session/no_folder EXIT 2 STDERR "--out is required" ARGS session no-table.mp4)
evenfeed_case(session/empty EXIT 1 STDERR "empty.mp4: the file is empty"
  ARGS session empty.mp4 --out out)
evenfeed_case(session/truncated EXIT 1 STDERR "truncated.mp4: " ARGS session truncated.mp4 --out out)
evenfeed_case(session/no_table EXIT 1 STDERR "no-table.mp4: no table tennis table found"
  WRITES out out/refused.png ARGS session no-table.mp4 --out out)
evenfeed_case(session/no_ball EXIT 1 STDERR "no-table.mp4: no feed was found"
  ARGS session no-table.mp4 --bench bench.toml --out out)
evenfeed_case(session/absent_bench EXIT 1 STDERR "absent.toml: no such file"
  ARGS session no-table.mp4 --bench absent.toml --out out)
evenfeed_case(session/bad_baseline EXIT 1 STDERR "bad-cell.csv"
  ARGS session no-table.mp4 --baseline bad-cell.csv --out out)
