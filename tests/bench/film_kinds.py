# SPDX-License-Identifier: MIT
"""The kinds of film that file_kinds makes, and how each is made of one short
rendered film with ffmpeg."""
import random
import subprocess

SCENE = """
name = "for the kinds of files"
profile = "table-tennis"
[camera]
width_px = 640
height_px = 480
fps = 60
focal_px = 520
k1 = -0.05
eye_mm = [400, -1200, 2300]
target_mm = [40, -60, 0]
up = [0, 1, 0]
roll_deg = 0.5
exposure_ms = 2
readout_ms = 0
[launcher]
feeds = 7
first_s = 0.5
interval_s = 1.0
interval_sd_s = 0.01
speed_mps = 6.5
speed_sd_mps = 0.035
elevation_deg = 14.5
elevation_sd_deg = 0.3
heading_sd_deg = 0.35
[film]
duration_s = 7.6
crf = 12
"""

X264 = "-c:v libx264 -preset veryfast -crf 14"
VP9 = "-c:v libvpx-vp9 -deadline realtime -cpu-used 6 -crf 18 -b:v 0"
PLAIN = X264 + " -bf 0"
MJPEG = "-c:v mjpeg -q:v 2 -pix_fmt yuvj420p"
# A picture moved by (u, v) px.
MOVED = ("perspective=x0='{u}':y0='{v}':x1='W+{u}':y1='{v}':x2='{u}':y2='H+{v}'"
         ":x3='W+{u}':y3='H+{v}':eval=frame:sense=destination")
# A picture enlarged about its middle by a factor 1 + e.
ZOOMED = ("perspective=x0='-W/2*({e})':y0='-H/2*({e})':x1='W+W/2*({e})'"
          ":y1='-H/2*({e})':x2='-W/2*({e})':y2='H+H/2*({e})'"
          ":x3='W+W/2*({e})':y3='H+H/2*({e})':eval=frame:sense=destination")


def ffmpeg(*words):
    done = subprocess.run(["ffmpeg", "-nostdin", "-v", "error", "-y", *words],
                          capture_output=True, text=True)
    if done.returncode:
        raise RuntimeError("ffmpeg " + " ".join(words) + "\n" + done.stderr)


class Kind:
    """`options` make the film from the base; `say` is for `session`."""

    def __init__(self, name, ext, options, say="", before="", base="base",
                 mirror=False, shift_s=0.0, lost=(), make=None, cut=None,
                 slower=1.0):
        self.name, self.ext, self.options, self.say = name, ext, options, say
        self.before, self.base, self.mirror = before, base, mirror
        self.shift_s = shift_s    # its clock is later than the base's by this
        self.slower = slower      # its clock is, and nothing says so
        self.cut = cut            # seconds left out, (from, until)
        self.lost = lost          # feeds that are not in it any more
        self.make = make          # (work, base, target): by other means


def damaged(seed, count=30):
    def make(base, target):
        data = bytearray(base.read_bytes())
        chance = random.Random(seed)
        for _ in range(count):
            at = chance.randrange(len(data) // 6, 5 * len(data) // 6)
            data[at] = chance.randrange(256)
        target.write_bytes(data)
    return make


def first_part(share):
    def make(base, target):
        data = base.read_bytes()
        target.write_bytes(data[:int(share * len(data))])
    return make


def joined(*bases):
    def make(base, target):
        target.write_bytes(b"".join(
            (base.parent / name).read_bytes() for name in bases))
    return make


def bytes_only(data):
    def make(base, target):
        target.write_bytes(data)
    return make


def mirrored_by_its_mark(base, target):
    """The pictures are stored mirrored, and the film says how to show them."""
    stored = target.with_name("stored-" + target.name)
    ffmpeg("-i", str(base), "-vf", "hflip", *X264.split(), str(stored))
    data = bytearray(stored.read_bytes())
    at = data.index(b"tkhd") + 4 + 40  # the matrix of a version 0 header
    one = (0x10000).to_bytes(4, "big")
    assert data[at:at + 4] == one
    data[at:at + 4] = (2**32 - 0x10000).to_bytes(4, "big")
    data[at + 24:at + 28] = (640 << 16).to_bytes(4, "big")
    target.write_bytes(data)


def without_index(base, target):
    """An AVI whose writer lost power before its index."""
    whole = target.with_name("whole-" + target.name)
    ffmpeg("-i", str(base), *MJPEG.split(), str(whole))
    data = whole.read_bytes()
    target.write_bytes(data[:int(0.6 * len(data))])


def left_out(from_s, until_s):
    return (f"-vf select='lt(t,{from_s})+gte(t,{until_s})',setpts='N/60/TB' " +
            X264)


def interlaced(flags):
    return (f"-vf tinterlace=interleave_top{flags[0]} -c:v libx264 "
            f"-preset veryfast -crf 14 {flags[1]}")


BASES = {
    "base.mp4": X264,
    "plain.mp4": PLAIN,
    "fast.mp4": X264 + " -movflags +faststart",
    "pieces.mp4": X264 + " -movflags frag_keyframe+empty_moov -g 60",
    "one.ts": "-t 3 " + X264,
    "other.ts": "-ss 3 -vf scale=480:360 " + X264,
    "moved.ts": "-ss 3 -vf crop=560:420:60:40,scale=640:480 " + X264,
}

BASES |= {
    "open.mp4": X264 + " -g 30 -x264opts open_gop=1:scenecut=0",
    "hevc.mov": "-c:v libx265 -preset ultrafast -crf 16 -tag:v hvc1 "
                "-x265-params open-gop=1:keyint=30:bframes=3:scenecut=0:"
                "log-level=error",
}
SLOW = "-c copy"
KINDS = [
    # how it is held and wrapped
    Kind("turned by its mark, 90", "mp4", "-c copy -metadata:s:v rotate=90"),
    Kind("turned by its mark, 180", "mp4", "-c copy -metadata:s:v rotate=180"),
    Kind("turned by its mark, 270", "mp4", "-c copy -metadata:s:v rotate=270"),
    Kind("portrait", "mp4", "-vf transpose=1 " + X264),
    Kind("MOV", "mov", "-c copy"),
    Kind("Matroska, stamps in ms", "mkv", "-c copy"),
    Kind("Matroska, start at 5 s", "mkv", "-c copy -output_ts_offset 5"),
    Kind("MPEG-TS", "ts", "-c copy"),
    Kind("MPEG-TS, late clock", "ts", "-c copy -output_ts_offset 95443"),
    Kind("fragmented", "mp4", "-c copy -movflags frag_keyframe+empty_moov"),
    Kind("index first", "mp4", "-c copy -movflags +faststart"),
    Kind("sound, early", "mp4", "-map 1:a -map 0:v -c:v copy -c:a aac -shortest",
         before="-itsoffset 0.7 -f lavfi -i sine=440"),
    Kind("sound, after the picture", "mov",
         "-map 0:v -map 1:a -c:v copy -c:a aac -shortest",
         before="-f lavfi -i sine=440"),
    Kind("with a cover picture", "mp4",
         "-map 1:v -map 0:v -c:v:1 copy -c:v:0 png -disposition:v:0 attached_pic",
         before="-f lavfi -i color=red:s=64x64:d=0.04"),
    Kind("3GP", "3gp", "-c copy"),
    # how it is compressed
    Kind("HEVC", "mp4", "-c:v libx265 -preset ultrafast -crf 16 -tag:v hvc1"),
    Kind("HEVC, 10 bit", "mp4",
         "-c:v libx265 -preset ultrafast -crf 16 -pix_fmt yuv420p10le"),
    Kind("HLG by its tags", "mp4",
         "-c:v libx265 -preset ultrafast -crf 16 -pix_fmt yuv420p10le "
         "-color_trc arib-std-b67 -color_primaries bt2020 -colorspace bt2020nc"),
    Kind("AV1, WebM", "webm", "-c:v libsvtav1 -preset 10 -crf 25"),
    Kind("VP9, WebM", "webm", VP9),
    Kind("VP8, WebM", "webm", "-c:v libvpx -deadline realtime -crf 10 -b:v 6M"),
    Kind("MPEG-4 part 2, AVI", "avi", "-c:v mpeg4 -q:v 2"),
    Kind("MPEG-2, TS", "ts", "-c:v mpeg2video -q:v 2"),
    Kind("Motion JPEG, AVI", "avi", "-c:v mjpeg -q:v 2 -pix_fmt yuvj420p"),
    Kind("Motion JPEG, MOV", "mov", "-c:v mjpeg -q:v 2 -pix_fmt yuvj422p"),
    Kind("ProRes", "mov", "-c:v prores_ks -profile:v 0"),
    Kind("FFV1", "mkv", "-c:v ffv1"),
    Kind("Theora", "ogv", "-c:v libtheora -q:v 9"),
    Kind("WMV", "wmv", "-c:v wmv2 -q:v 2"),
    Kind("4:2:2", "mp4", X264 + " -pix_fmt yuv422p"),
    Kind("4:4:4", "mp4", X264 + " -pix_fmt yuv444p"),
    Kind("gray", "mp4", X264 + " -pix_fmt gray"),
    Kind("full range", "mp4", X264 + " -vf scale=out_range=pc -color_range pc"),
    Kind("RGB", "mkv", "-c:v libx264rgb -preset veryfast -crf 14"),
    Kind("lossless", "mkv", "-c:v libx264 -preset ultrafast -qp 0"),
    Kind("crf 28", "mp4", "-c:v libx264 -preset veryfast -crf 28"),
    Kind("crf 35", "mp4", "-c:v libx264 -preset veryfast -crf 35"),
    Kind("long group of pictures", "mp4", X264 + " -g 1000 -sc_threshold 0"),
    Kind("GIF", "gif", "-vf fps=25"),
    # the picture
    Kind("twice the size", "mp4", "-vf scale=1280:960 " + X264),
    Kind("odd size", "webm", "-vf crop=639:479:0:0 " + VP9),
    Kind("black bars", "mp4", "-vf pad=854:480:107:0 " + X264),
    Kind("a text in the corner", "mp4",
         "-vf drawbox=x=10:y=10:w=90:h=24:color=white:t=fill " + X264),
    Kind("squeezed, with its mark", "mp4",
         "-vf scale=480:480,setsar=4/3 " + X264),
    Kind("squeezed, no mark", "mp4", "-vf scale=480:480,setsar=1 " + X264),
    Kind("stretched, with its mark", "mp4",
         "-vf scale=640:640,setsar=3/4 " + X264),
    Kind("left third cut off", "mp4", "-vf crop=426:480:214:0 " + X264),
    Kind("left half cut off", "mp4", "-vf crop=320:480:320:0 " + X264),
    Kind("mirrored", "mp4", "-vf hflip " + X264, mirror=True),
    Kind("as a messenger sends it", "mp4",
         "-vf scale=424:318,fps=30 -c:v libx264 -preset veryfast -crf 29"),
    Kind("flicker", "mp4",
         "-vf eq=brightness='0.08*sin(2*PI*t*2)':eval=frame " + X264),
    Kind("dark", "mp4", "-vf eq=brightness=-0.25:contrast=0.6 " + X264),
    Kind("noise", "mp4", "-vf noise=alls=12:allf=t " + X264),
    Kind("sharpened", "mp4", "-vf unsharp=5:5:1.5 " + X264),
    Kind("black for half a second", "mp4",
         "-vf drawbox=t=fill:color=black:enable='between(t,3.1,3.6)' " + X264),
    # time
    Kind("frames dropped, variable rate", "mp4",
         "-vf select='gt(random(0),0.2)' -vsync vfr " + PLAIN),
    Kind("frames dropped, doubles in their place", "mp4",
         "-vf select='gt(random(0),0.2)',fps=60:round=near " + PLAIN),
    Kind("begins in mid-flight", "mp4", "-c copy", before="", base="base",
         say="", make=None, lost=(1, 2), shift_s=-2.0),
    Kind("25 a second", "mp4", "-vf fps=25 " + X264),
    Kind("30 a second", "mp4", "-vf fps=30 " + X264),
    Kind("50 a second by dropping", "mp4", "-vf fps=50 " + X264),
    Kind("50 a second, blended", "mp4", "-vf framerate=fps=50 " + X264),
    Kind("frames blended two by two", "mp4", "-vf tmix=frames=2 " + X264),
    Kind("half a second frozen", "mp4",
         "-filter_complex [0:v]split[a][b];[a][b]freezeframes=first=186:last=215:replace=185 " + X264),
    Kind("slowed 1.04 times", "mp4", SLOW, base="slow1.04", slower=1.04),
    Kind("slowed 1.2 times", "mp4", SLOW, base="slow1.2", slower=1.2),
    Kind("slowed 2 times", "mp4", SLOW, base="slow2"),
    Kind("slowed 2 times, said", "mp4", SLOW, base="slow2", say="--slow 2"),
    Kind("slowed 8 times", "mp4", SLOW, base="slow8"),
    Kind("slowed 8 times, said", "mp4", SLOW, base="slow8", say="--slow 8"),
    Kind("twice as fast", "mp4", SLOW, base="slow0.5"),
    Kind("slow in the middle", "mp4",
         "-vf setpts='if(lt(T,2),PTS,if(lt(T,5),(2+4*(T-2))/TB,(T+9)/TB))' "
         "-vsync vfr " + PLAIN),
    Kind("second half slowed 8 times", "mp4",
         "-vf setpts='if(lt(T,3.7),PTS,(3.7+8*(T-3.7))/TB)' -vsync vfr " + PLAIN),
    Kind("interlaced, marked", "mp4",
         "-vf tinterlace=interleave_top,setfield=tff " + X264 +
         " -flags +ilme+ildct -x264opts tff=1"),
    Kind("interlaced, no mark", "mp4",
         "-vf tinterlace=interleave_top,setfield=prog " + X264),
    # a camera that does not stand still
    Kind("sways by 3 px", "mp4", "-vf " + MOVED.format(
        u="3*sin(2*PI*0.25*on/60)", v="2*sin(2*PI*0.2*on/60)") + " " + X264),
    Kind("sways by 10 px", "mp4", "-vf " + MOVED.format(
        u="10*sin(2*PI*0.3*on/60)", v="6*sin(2*PI*0.2*on/60)") + " " + X264),
    Kind("jitters by 2 px", "mp4", "-vf " + MOVED.format(
        u="2*(2*mod(floor(on/2),2)-1)", v="0") + " " + X264),
    Kind("zoom breathes, 0.2 %", "mp4", "-vf " + ZOOMED.format(
        e="0.002*sin(2*PI*0.4*on/60)") + " " + X264),
    Kind("zoom of 1 % half way", "mp4", "-vf " + ZOOMED.format(
        e="0.01*gt(on,230)") + " " + X264),
    Kind("zoom of 6 % half way", "mp4", "-vf " + ZOOMED.format(
        e="0.06*gt(on,230)") + " " + X264),
    Kind("stabilised digitally, 20 px", "mp4",
         "-vf scale=700:525,crop=640:480:exact=1:"
         "x='30+12*sin(2*PI*0.35*t)+9*sin(2*PI*0.83*t+1)':"
         "y='22+8*sin(2*PI*0.5*t)+6*sin(2*PI*1.1*t)' " + X264),
    Kind("stabilised digitally, 6 px", "mp4", "-vf " + MOVED.format(
        u="4*sin(2*PI*0.35*on/60)+2*sin(2*PI*0.83*on/60+1)",
        v="3*sin(2*PI*0.5*on/60)+2*sin(2*PI*1.1*on/60)") + " " + X264),
    Kind("zooms in slowly, 4 %", "mp4", "-vf " + ZOOMED.format(
        e="0.04*on/456") + " " + X264),
    Kind("zooms to and fro, 1.2 %", "mp4", "-vf " + ZOOMED.format(
        e="0.012*mod(floor(on/100),2)") + " " + X264),
    Kind("another framing half way", "ts", "",
         make=joined("one.ts", "moved.ts")),
    # as telephones, action and dashboard cameras write it
    Kind("Android slow motion, by its mark", "mov",
         "-c copy -movflags use_metadata_tags -metadata "
         "com.android.capture.fps=60.0", base="slow8"),
    Kind("Android, taken as it plays, by its mark", "mp4",
         "-c copy -movflags use_metadata_tags -metadata "
         "com.android.capture.fps=60.0"),
    Kind("slowed 8 times, --rate", "mp4", SLOW, base="slow8",
         say="--rate 60"),
    Kind("59.94, a clock of 600 ticks a second", "mov",
         "-vf setpts='N/(60000/1001)/TB' -vsync vfr -enc_time_base 1/60000 "
         "-video_track_timescale 600 " + PLAIN),
    Kind("times jitter by 0.5 ms", "mov",
         "-vf setpts='PTS+0.0005*(2*random(1)-1)/TB' -vsync vfr "
         "-enc_time_base 1/60000 -video_track_timescale 600 " + PLAIN),
    Kind("HEVC, begins in an open group", "mov",
         "-c copy -tag:v hvc1", base="hevc.mov", lost=(1, 2), shift_s=-2.0),
    Kind("H.264, begins in an open group", "mp4", "-c copy", base="open",
         lost=(1, 2), shift_s=-2.0),
    Kind("first stamp below zero", "mkv",
         "-c copy -avoid_negative_ts disabled -output_ts_offset -0.05"),
    Kind("a clock track and a title", "mov",
         "-map 0:v -map 1:s -c:v copy -c:s mov_text -timecode 01:00:00:00",
         before="-f srt -i title.srt"),
    Kind("a small picture track first", "mp4",
         "-filter_complex [0:v]scale=160:120[small] -map [small] -map 0:v "
         "-c:v:0 libx264 -c:v:1 copy"),
    Kind("a second camera's track, as large", "mp4",
         "-filter_complex [0:v]hue=s=0,scale=640:480,hflip[other] -map 0:v "
         "-map [other] -c:v:0 copy -c:v:1 libx264 -crf 28"),
    Kind("sound three seconds longer", "mp4",
         "-map 0:v -map 1:a -c:v copy -c:a aac",
         before="-f lavfi -t 11 -i sine=440"),
    Kind("dashboard camera, H.264 in AVI", "avi", "-c copy"),
    Kind("dashboard camera, index lost", "avi", "", make=without_index),
    Kind("AVCHD, interlaced", "mts",
         "-vf tinterlace=interleave_top,setfield=tff " + X264 +
         " -flags +ilme+ildct -x264opts tff=1 -f mpegts"),
    Kind("ProRes 4:2:2, 10 bit", "mov", "-c:v prores_ks -profile:v 3"),
    Kind("DNxHR", "mov", "-vf scale=640:480 -c:v dnxhd -profile:v dnxhr_hq "
         "-pix_fmt yuv422p"),
    Kind("HDR10, VP9 of 10 bit", "webm", VP9 + " -pix_fmt yuv420p10le "
         "-color_trc smpte2084 -color_primaries bt2020 -colorspace bt2020nc"),
    Kind("log curve, flat", "mp4", "-vf eq=contrast=0.45:brightness=0.08 "
         + X264),
    Kind("mirrored, with its mark", "mp4", "", make=mirrored_by_its_mark),
    Kind("animated PNG", "apng", "-plays 1 -c:v apng"),
    Kind("animated WebP", "webp", "-vf fps=25 -c:v libwebp -loop 1"),
    # at another rate than it was taken
    Kind("30 a second, each twice", "mp4", "-vf fps=30,fps=60 " + X264),
    Kind("60 a second, each twice", "mp4", "-vf fps=120 " + X264),
    Kind("20 to 24, some twice", "mp4", "-vf fps=20,fps=24 " + X264),
    Kind("20 to 50, three and two times", "mp4", "-vf fps=20,fps=50 " + X264),
    Kind("30 to 36, every fifth twice", "mp4", "-vf fps=30,fps=36 " + X264),
    Kind("30 to 50, one or two times", "mp4", "-vf fps=30,fps=50 " + X264),
    Kind("20 to 25, telecine", "mp4", "-vf fps=20,telecine " + X264),
    Kind("30 a second, blended from 60", "mp4",
         "-vf tmix=frames=2,fps=30 " + X264),
    Kind("30 to 60, invented between", "mp4",
         "-vf fps=30,minterpolate=fps=60:mi_mode=mci " + X264),
    Kind("30 to 60, blended between", "mp4",
         "-vf fps=30,framerate=fps=60 " + X264),
    Kind("screen recording, uneven doubles", "mp4",
         "-vf fps=47,fps=60 " + X264),
    Kind("a tenth of a second cut out in flight", "mp4", left_out(3.7, 3.8),
         cut=(3.7, 3.8)),
    Kind("cut together between feeds", "mp4", left_out(2.3, 4.3),
         cut=(2.3, 4.3), lost=(3, 4)),
    # The bounce of the fifth is in them, behind the first part of the third.
    Kind("cut together in flight, 50 ms off", "mp4", left_out(2.75, 4.7),
         cut=(2.75, 4.7), lost=(3, 4)),
    Kind("cut together in flight, in step", "mp4", left_out(2.75, 4.75),
         cut=(2.75, 4.75), lost=(3, 4)),
    Kind("enlarged twice half way", "mp4", "-vf " + ZOOMED.format(
        e="gt(on,230)") + " " + X264),
    Kind("turned by hand half way", "mp4",
         "-filter_complex [0:v]split[a][b];[b]hflip,vflip[c];"
         "[a][c]overlay=enable='gt(t,3.8)' " + X264),
    # damage, and what is no film
    Kind("size changes half way", "ts", "", make=joined("one.ts", "other.ts")),
    Kind("30 bytes damaged, a", "mp4", "", make=damaged(1)),
    Kind("30 bytes damaged, b", "mp4", "", make=damaged(2)),
    Kind("30 bytes damaged, MPEG-TS", "ts", "", base="one.ts",
         make=damaged(3)),
    Kind("ends early, index first", "mp4", "", base="fast",
         make=first_part(0.6)),
    Kind("ends early, fragmented", "mp4", "", base="pieces",
         make=first_part(0.6)),
    Kind("index missing", "mp4", "", make=first_part(0.6)),
    Kind("two seconds", "mp4", "-t 2 " + X264, lost=(3, 4, 5, 6, 7)),
    Kind("a third of a second", "mp4", "-t 0.3 " + X264),
    Kind("one frame", "mp4", "-frames:v 1 " + X264),
    Kind("sound alone", "m4a", "-map 1:a -c:a aac -t 3",
         before="-f lavfi -i sine=440"),
    Kind("a picture", "png", "-frames:v 1"),
    Kind("a photograph", "jpg", "-frames:v 1 -q:v 2"),
    Kind("an empty file", "mp4", "", make=bytes_only(b"")),
    Kind("a text", "mp4", "", make=bytes_only(b"feed,x_mm\n1,650\n")),
]
