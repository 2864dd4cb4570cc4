// SPDX-License-Identifier: MIT
// What a camera can see, as a picture over the table.
#pragma once

#include "geometry/surface.h"
#include "plan/camera_survey.h"

#include <string>

namespace evenfeed {

std::string camera_page(const CameraSurveyOptions& options,
                        const CameraSurvey& survey,
                        const Surface& surface);

}  // namespace evenfeed
