// SPDX-License-Identifier: MIT
// Consistency and small-sample factors of the MCD. The coefficients are those
// fitted by Pison, Van Aelst and Willems (2002), for shares 0.5 and 0.875;
// other shares are interpolated as they propose.
#include "quality/mcd_factors.h"

#include "base/check.h"
#include "quality/mcd.h"
#include "stats/distributions.h"

#include <array>
#include <cmath>

namespace evenfeed {
namespace {

// 1 - exp(scale) / n^power is the small-sample bias.
struct Decay {
  double scale;
  double power;
};

// For p > 2 the decay follows from two points per share: at q = 2 and q = 3
// the bias is -level / p^slope for samples of q p^2.
struct Anchor {
  double level;
  double slope;
  double q;
};

struct Coefficients {
  std::array<Decay, 2> one;                   // p = 1, shares .5 and .875
  std::array<Decay, 2> two;                   // p = 2
  std::array<std::array<Anchor, 2>, 2> more;  // p > 2
};

constexpr Coefficients kRaw{{{{0.262024211897096, 0.604756680630497},
                              {-0.351584646688712, 1.01646567502486}}},
                            {{{0.673292623522027, 0.691365864961895},
                              {0.446537815635445, 1.06690782995919}}},
                            {{{{{-1.42764571687802, 1.26263336932151, 2},
                                {-1.06141115981725, 1.28907991440387, 3}}},
                              {{{-0.455179464070565, 1.11192541278794, 2},
                                {-0.294241208320834, 1.09649329149811, 3}}}}}};

constexpr Coefficients kReweighted{
    {{{1.11098143415027, 1.5182890270453},
      {-0.66046776772861, 0.88939595831888}}},
    {{{3.11101712909049, 1.91401056721863},
      {0.79473550581058, 1.10081930350091}}},
    {{{{{-1.02842572724793, 1.67659883081926, 2},
        {-0.26800273450853, 1.35968562893582, 3}}},
      {{{-0.544482443573914, 1.25994483222292, 2},
        {-0.343791072183285, 1.25159004257133, 3}}}}}};

Decay through(const std::array<Anchor, 2>& anchors, int p) {
  const auto height = [p](const Anchor& a) {
    return std::log(-a.level / std::pow(p, a.slope));
  };
  const auto place = [p](const Anchor& a) { return std::log(a.q * p * p); };
  const double power = (height(anchors[0]) - height(anchors[1])) /
                       (place(anchors[1]) - place(anchors[0]));
  return {height(anchors[0]) + power * place(anchors[0]), power};
}

double bias(const Coefficients& all, std::size_t share, int n, int p) {
  const Decay decay = p == 1   ? all.one[share]
                      : p == 2 ? all.two[share]
                               : through(all.more[share], p);
  return 1 - std::exp(decay.scale) / std::pow(n, decay.power);
}

double factor(const Coefficients& all, int n, int p, double share) {
  require(p >= 1 && n > p, "MCD factors need n > p >= 1");
  require_in_range(share, 0.5, 1, "mcd share");
  const double half = bias(all, 0, n, p);
  const double most = bias(all, 1, n, p);
  const double between = share <= 0.875
                             ? half + (most - half) / 0.375 * (share - 0.5)
                             : most + (1 - most) / 0.125 * (share - 0.875);
  return 1 / between;
}

}  // namespace

int mcd_subset_size(int n, int p, double share) {
  const int n2 = (n + p + 1) / 2;
  return static_cast<int>(
      std::floor(2.0 * n2 - n + 2.0 * (n - n2) * share + 1e-9));
}

double mcd_consistency(int p, double share) {
  if (share >= 1) return 1;
  return share / chi_squared_cdf(chi_squared_quantile(share, p), p + 2);
}

double mcd_small_sample_raw(int n, int p, double share) {
  return factor(kRaw, n, p, share);
}

double mcd_small_sample_reweighted(int n, int p, double share) {
  return factor(kReweighted, n, p, share);
}

}  // namespace evenfeed
