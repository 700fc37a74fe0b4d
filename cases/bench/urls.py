from django.urls import path

from cases.bench.views import bench, final, pairs, photos

urlpatterns = [
    path("bench/", bench.my_bench, name="my-bench"),
    path("bench/catch-up/", bench.catch_up, name="catch-up"),
    path("bench/pairs/<uuid:uuid>/", bench.pair_bench, name="pair-bench"),
    path("bench/pairs/<uuid:uuid>/tick/", bench.stage_tick, name="stage-tick"),
    path("bench/pairs/<uuid:uuid>/begin/", bench.stage_begin, name="stage-begin"),
    path("bench/pairs/<uuid:uuid>/take-back/", bench.stage_take_back, name="stage-take-back"),
    path("bench/pairs/<uuid:uuid>/check/", bench.check_record, name="check-record"),
    path("bench/pairs/<uuid:uuid>/check/measured/", bench.check_measure, name="check-measure"),
    path("bench/pairs/<uuid:uuid>/check/withdraw/", bench.check_withdraw, name="check-withdraw"),
    path("bench/pairs/<uuid:uuid>/photo/", photos.placed_photo_add, name="placed-photo-add"),
    path("placed-photos/<uuid:uuid>/", photos.placed_photo, name="placed-photo"),
    path("placed-photos/<uuid:uuid>/small/", photos.placed_photo_small, name="placed-photo-small"),
    path("bench/pairs/<uuid:uuid>/final-check/", final.final_check, name="final-check"),
    path("bench/pairs/<uuid:uuid>/take-up/", bench.version_take_up, name="version-take-up"),
    path("differences/", pairs.differences, name="differences"),
    path("differences/<uuid:uuid>/settle/", pairs.difference_settle, name="difference-settle"),
    path("prescriptions/<uuid:uuid>/open-pair/", pairs.pair_open, name="pair-open"),
    path("pairs/<uuid:uuid>/repeat/", pairs.pair_repeat, name="pair-repeat"),
    path("pairs/<uuid:uuid>/promise/", pairs.promise_again, name="promise-again"),
    path("pairs/<uuid:uuid>/weigh/", pairs.pair_weigh, name="pair-weigh"),
    path("pairs/<uuid:uuid>/give-up/", pairs.pair_give_up, name="pair-give-up"),
    path("clients/<uuid:uuid>/repair/", pairs.repair_open, name="repair-open"),
]
