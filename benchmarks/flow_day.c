/*
 * The plain clinic day of thawline, the same algorithm by hand in C: only to measure against.
 * Compiled by benchmarks/flow.py with the system's compiler for this processor, without fused operations, so
 * that every bit can be compared.
 */
#include <math.h>
#include <stdint.h>

#define FEW 32

typedef struct { uint64_t a, b, c, d; } state;

static inline uint64_t mixed(uint64_t z) {
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
    return z ^ (z >> 31);
}

static inline state seeded(uint64_t base, uint64_t day, uint64_t stream) {
    const uint64_t golden = 0x9E3779B97F4A7C15u;
    uint64_t s = mixed(mixed(mixed(base + golden) + day) + stream);
    state made = { mixed(s + golden), mixed(s + 2 * golden), mixed(s + 3 * golden),
                   mixed(s + 4 * golden) };
    return made;
}

static inline uint64_t drawn(state *s) {
    uint64_t total = s->a + s->d, found = ((total << 23) | (total >> 41)) + s->a, t = s->b << 17;
    s->c ^= s->a;
    s->d ^= s->b;
    s->b ^= s->c;
    s->a ^= s->d;
    s->c ^= t;
    s->d = (s->d << 45) | (s->d >> 19);
    return found;
}

static inline double uniform(uint64_t found) { return (double)(int64_t)(found >> 11) * 0x1p-53; }

static inline double looked_up(const double *table, uint64_t found) {
    uint64_t step = found >> 52;
    double place;
    if (((step - 1) & 4095) < 4094) {
        place = (double)(int64_t)(found & 0xFFFFFFFFFFFFFu) * 0x1p-52;
    } else {
        place = (double)(int64_t)(found & 0xFFFFFFFFFFu) * 0x1p-40;
        step = ((found >> 40) & 4095) + (step < 1 ? 4097 : 2 * 4097);
    }
    return table[step] + (table[step + 1] - table[step]) * place;
}

static int64_t in_order(const double *came, int64_t count, double per_s, int64_t *starts,
                        int64_t buckets, double *ordered) {
    int64_t last = buckets - 2, b, i;
    for (b = 0; b < buckets; b++) starts[b] = 0;
    for (i = 0; i < count; i++) {
        b = (int64_t)(came[i] * per_s);
        starts[(b < last ? b : last) + 1]++;
    }
    for (b = 0; b < last; b++) starts[b + 1] += starts[b];
    for (i = 0; i < count; i++) {
        b = (int64_t)(came[i] * per_s);
        ordered[starts[b < last ? b : last]++] = came[i];
    }
    for (i = 1; i < count; i++) {
        double at = ordered[i];
        int64_t j = i;
        while (j > 0 && ordered[j - 1] > at) { ordered[j] = ordered[j - 1]; j--; }
        ordered[j] = at;
    }
    return count;
}

void plain_days(uint64_t base, int64_t first, int64_t days, const double *bookings, int64_t slots,
                double slot_s, double no_show, const double *punctuality, const double *servers,
                const double *laws, int64_t stations, const double *stays_s,
                const double *stays_upto, double per_s, int64_t *starts, int64_t buckets,
                double *one, double *other, double *figures) {
    for (int64_t d = 0; d < days; d++) {
        double *row = figures + d * (7 + 2 * stations), *here = one, *there = other, *swap;
        uint64_t day = (uint64_t)(first + d);
        state s = seeded(base, day, 0);
        int64_t count = 0, skip = 0, gone = 0, peak = 0;
        for (int64_t slot = 0; slot < slots; slot++)
            for (int64_t n = 0; n < (int64_t)bookings[slot]; n++) {
                int away = uniform(drawn(&s)) < no_show;
                uint64_t late = drawn(&s);
                if (!away) {
                    double at = slot * slot_s + looked_up(punctuality, late);
                    there[count++] = at > 0.0 ? at : 0.0;
                }
            }
        in_order(there, count, per_s, starts, buckets, here);
        double came = 0.0, left = 0.0;
        for (int64_t i = 0; i < count; i++) came += here[i];
        for (int64_t k = 0; k < stations; k++) {
            int64_t many = (int64_t)servers[k];
            const double *law = laws + k * 3 * 4097;
            double total = 0.0, longest = 0.0;
            s = seeded(base, day, 3 + k);
            double w[FEW + 1];
            for (int64_t j = 0; j < many; j++) w[j] = 0.0;
            w[many] = INFINITY;
            for (int64_t i = 0; i < count; i++) {
                double at = here[skip + i], start = w[0];
                there[i] = start;
                double wait, before = w[0], until;
                start = start > at ? start : at;
                wait = start - at;
                total += wait;
                longest = wait > longest ? wait : longest;
                until = start + looked_up(law, drawn(&s));
                for (int64_t j = 1; j <= many; j++) {
                    double after = w[j], lower = after < until ? after : until;
                    w[j - 1] = before > lower ? before : lower;
                    before = after;
                }
            }
            for (int64_t j = 0; j < many; j++) there[count + j] = w[j];
            row[7 + 2 * k] = total / (count > 1 ? count : 1);
            row[8 + 2 * k] = longest;
            swap = here; here = there; there = swap;
            skip = many;
        }
        s = seeded(base, day, 2);
        for (int64_t i = 0; i < count; i++) {
            double at = here[skip + i], share = uniform(drawn(&s));
            int64_t k = 0, j = i;
            while (share >= stays_upto[k]) k++;
            double until = at + stays_s[k];
            left += until;
            while (j > 0 && there[j - 1] > until) { there[j] = there[j - 1]; j--; }
            there[j] = until;
            while (there[gone] <= at) gone++;
            if (i + 1 - gone > peak) peak = i + 1 - gone;
        }
        row[0] = count;
        row[1] = row[2] = row[3] = 0.0;
        row[4] = (left - came) / (count > 1 ? count : 1);
        row[5] = peak;
        row[6] = count > 0 ? there[count - 1] : 0.0;
    }
}
