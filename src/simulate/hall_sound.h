// SPDX-License-Identifier: MIT
// What a microphone in the hall records: contacts, the launcher's hum, speech
// and the hall's noise, with its echo.
//
// A contact is a set of modes of what is met and of the ball, each a damped
// sine that rises within the contact:
//
//   p(t) = A sum_k a_k (1 - exp(-t / rise)) exp(-t / tau_k) sin(2 pi f_k t)
//
// Ball: its shell snaps at 8.5 to 12 kHz; its lowest mode, near 5.9 kHz, hardly
// radiates (Russell 2018, "Acoustics of ping-pong", J Sports Sci 36:2644, of
// which the abstract was read). A contact lasts about 1 ms (1.3 to 1.8 ms on a
// racket, as a review of arXiv:2409.11760 says). Modes of table, floor, sample
// and launcher and their levels: invented data. Sound falls off with distance,
// and grows with the speed of the impact. The echo is Schroeder's four combs
// and two all-passes (1962; from memory). Written apart from what finds ticks.
#pragma once

#include "simulate/scene.h"
#include "simulate/sound_events.h"

#include <cstdint>
#include <vector>

namespace evenfeed {

/// Where the microphone is, table frame.
Eigen::Vector3d microphone_m(const Scene& scene);

/// When a sound made at t_s is heard, by the sound's clock.
double heard_s(const Scene& scene, const SoundEvent& event);

/// The film's sound track, -1 to 1, at scene.sound.rate_hz.
std::vector<float> hall_sound(const Scene& scene, std::uint64_t seed);

}  // namespace evenfeed
