/* Channels, environments, and what the rules say about a `radio` block. The rules' figures: 47 CFR
 * 15.517 and Commission Implementing Decision (EU) 2019/785. */
#include <assert.h>
#include <math.h>

#include "scenario/ground.h"
#include "scenario/reader.h"

#define MOST_DENSITY -41.3  /* dBm/MHz, mean EIRP: 15.517(c), 3100 to 10600 MHz */
#define BAND_LOW     3100e6 /* Hz */
#define BAND_HIGH    10600e6
#define MOST_PEAK    0.0 /* dBm in 50 MHz: 15.517(e) */
#define PEAK_WIDTH   50.0
#define MEAN_TIME    1e-3 /* s, that the mean is taken over */

/* Least duration of what follows the preamble in a frame: start delimiter of 4 symbols (IEEE
 * 802.15.4z), header of 21 symbols of 1025.641 ns. */
#define LEAST_REST (4 * AW_PREAMBLE_SYMBOL + 21 * 1025.641e-9)

const aw_choice aw_environment_choices[] = {
    {"residential", AW_RESIDENTIAL}, {"office", AW_OFFICE},
    {"outdoor", AW_OUTDOOR},         {"open outdoor", AW_OPEN_OUTDOOR},
    {"industrial", AW_INDUSTRIAL},   {"InF-SL", AW_INF_SL},
    {"InF-DL", AW_INF_DL},           {"InF-SH", AW_INF_SH},
    {"InF-DH", AW_INF_DH},           {NULL, 0}};

_Static_assert(sizeof aw_environment_choices / sizeof aw_environment_choices[0] ==
                   AW_ENVIRONMENTS + 1,
               "each environment has a name");

const char *aw_environment_name(aw_environment environment)
{
    assert(aw_environment_choices[environment].value == (int)environment);
    return aw_environment_choices[environment].text;
}

/* Centres are whole multiples of the chip rate, 499.2 MHz. */
aw_channel aw_channel_of(uint32_t number)
{
    static const unsigned char multiple[16] = {1,  7,  8,  9,  8,  13, 14, 13,
                                               15, 16, 17, 16, 18, 19, 20, 19};
    assert(number < 16);
    const double chip = 499.2e6;
    const double wide = number == 4 || number == 11 ? 1331.2e6
                        : number == 7               ? 1081.6e6
                        : number == 15              ? 1354.97e6
                                                    : chip;
    return (aw_channel){number, multiple[number] * chip, wide};
}

static void refuse_density(aw_reader *r, const aw_node *at, const aw_radio *radio)
{
    const double low = radio->channel.centre - radio->channel.bandwidth / 2;
    const double high = radio->channel.centre + radio->channel.bandwidth / 2;
    const aw_node *density = aw_node_find(at, "density_dbm_mhz");
    const aw_node *channel = aw_node_find(at, "channel");
    if (radio->density_dbm_mhz > MOST_DENSITY)
        aw_errors_add(r->errors, AW_ERROR, density->line, density->column,
                      "density_dbm_mhz: %s is above -41.3 dBm/MHz, the limit of unlicensed "
                      "operation (47 CFR 15.517(c), (EU) 2019/785); 'licensed: true' lifts it",
                      density->text);
    if (low < BAND_LOW || high > BAND_HIGH)
        aw_errors_add(r->errors, AW_ERROR, channel->line, channel->column,
                      "channel: %u is not within 3100 to 10600 MHz, the band of unlicensed "
                      "operation (47 CFR 15.517(c)); 'licensed: true' allows it",
                      (unsigned)radio->channel.number);
}

/* A peak is never below the mean, so where the mean while a frame lasts is above the limit of the
 * peak, so is the peak. */
static void refuse_frame_gain(aw_reader *r, const aw_node *node, const aw_radio *radio)
{
    const aw_node *gain = aw_node_find(node, "frame_gain_db");
    const double mean =
        radio->density_dbm_mhz - radio->backoff_db + radio->frame_gain_db + 10 * log10(PEAK_WIDTH);
    const double frame = radio->receiver.preamble * AW_PREAMBLE_SYMBOL + LEAST_REST;
    const double most = 10 * log10(MEAN_TIME / frame);
    const aw_node *at = gain != NULL ? gain : node;
    if (!radio->licensed && mean > MOST_PEAK)
        aw_errors_add(r->errors, AW_ERROR, at->line, at->column,
                      "frame_gain_db: %g makes a frame's mean %.1f dBm in 50 MHz, above the limit "
                      "of the peak, 0 dBm (47 CFR 15.517(e), (EU) 2019/785)",
                      radio->frame_gain_db, mean);
    else if (radio->frame_gain_db > 0 && radio->frame_gain_db > most)
        aw_errors_add(r->errors, AW_ERROR, at->line, at->column,
                      "frame_gain_db: %g is more than a frame with a preamble of %u symbols can "
                      "have, %.2f dB (it lasts at least %.1f us of the 1 ms of the mean)",
                      radio->frame_gain_db, (unsigned)radio->receiver.preamble, fmax(most, 0),
                      1e6 * frame);
}

void aw_radio_finish(aw_reader *r, const aw_node *node, aw_radio *radio)
{
    radio->given = true;
    radio->loss_times = radio->delay_times = radio->shadowing_times = 1;
    radio->place = (aw_text_pos){node->line, node->column};
    radio->channel = aw_channel_of(radio->channel.number);
    if (node->kind != AW_NODE_MAPPING)
        return;
    if (!radio->licensed)
        refuse_density(r, node, radio);
    refuse_frame_gain(r, node, radio);
}
