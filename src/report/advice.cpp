// SPDX-License-Identifier: MIT
#include "report/advice.h"

namespace evenfeed {

std::string reading_guide() {
  return R"(<section><h2>How to read this page</h2>
<ul class="plain">
<li><b>keep</b>: belongs to the stable process; use it. <b>review</b>: the
process changed, or may have, since this feed was made; look before you use it.
<b>discard</b>: made during warm-up, a mis-feed, or not measured.</li>
<li><b>T²</b> asks of each feed whether it is an odd one out; <b>MEWMA</b> and
<b>EWMA</b> add up small shifts over many feeds. A chart signals late: the
change began earlier, and the feeds since then are under review. Their limits
widen as feeds are added up, and drop back where the chart begins anew because
the baseline was renewed with more feeds. <b>Spread</b> watches how far feeds
scatter, not where: above its line they scatter more than the baseline did.</li>
<li><b>Kick</b> is the horizontal speed after the bounce over that before it:
it falls with backspin and rises with topspin.</li>
<li>An uncertainty is one standard deviation of the measurement. What the
calibration leaves uncertain is common to all feeds: it moves them together and
does not make them look more scattered.</li>
<li>A limit is not a wall: now and then a steady launcher crosses one by
chance. How seldom is set in the profile.</li>
</ul></section>
)";
}

std::string safety_notes() {
  return R"(<section><h2>Before anybody steps up to the bench</h2>
<ul class="plain">
<li>Clear a jam only with the launcher switched off and unplugged and its
wheels at rest. Counter-rotating wheels draw in fingers, hair and sleeves.</li>
<li>Keep eyes out of the line of fire, also while loading, clearing or placing
marks: nobody stands in front of a launcher that has power. Wear eye protection
made for ball sports behind the sample.</li>
<li>A camera overhead needs a fixing that is locked and a second, independent
one that holds it if the first fails. Nobody works underneath meanwhile.</li>
<li>Glass in a clamp breaks under uneven force: pad it, tighten it gently, put
a screen between it and people, and do not use a chipped plate.</li>
<li>The maker's manual, your local rules and qualified people come before
anything this page says.</li>
</ul></section>
)";
}

}  // namespace evenfeed
