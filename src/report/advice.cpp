// SPDX-License-Identifier: MIT
#include "report/advice.h"

namespace evenfeed {

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
